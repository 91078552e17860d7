#include "sheet.h"

#include "base/memory.h"
#include "values/statistics.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define HALF_MAX 0.499   /* below a half: a box never reaches over a gap */
#define OWN_SIZE 0.33    /* a cell's own half width is trusted this near to the usual one */
#define CARD_MARGIN 0.06 /* of the card's side: what lies this near is its frame */

enum status sheets_add(const struct view *view, const struct lattice *lattice,
                       struct sheets *sheets, struct error *error)
{
    if (sheets->count == sheets->capacity) {
        struct sheet *grown =
            memory_grow(sheets->items, &sheets->capacity, sizeof *grown, "sheets", error);

        if (!grown) {
            free(lattice->nodes);
            return error->status;
        }
        sheets->items = grown;
    }
    sheets->items[sheets->count] = (struct sheet){.view = view, .lattice = *lattice};
    return sheet_fit(&sheets->items[sheets->count++], error);
}

void sheets_release(struct sheets *sheets)
{
    for (size_t i = 0; i < sheets->count; i++)
        sheet_release(&sheets->items[i]);
    free(sheets->items);
    memset(sheets, 0, sizeof *sheets);
}

void sheet_release(struct sheet *sheet)
{
    free(sheet->lattice.nodes);
    free(sheet->gaps);
    memset(sheet, 0, sizeof *sheet);
}

/* How the lattice's columns and rows run at a place, as a matrix from pixels to lattice. */
static void pixels_to_lattice(const struct warp *warp, struct point at, double inverse[4])
{
    const double h = 0.25;
    struct point left = warp_apply(warp, (struct point){at.x - h, at.y});
    struct point right = warp_apply(warp, (struct point){at.x + h, at.y});
    struct point up = warp_apply(warp, (struct point){at.x, at.y - h});
    struct point down = warp_apply(warp, (struct point){at.x, at.y + h});
    struct point u = point_scale(point_subtract(right, left), 0.5 / h);
    struct point v = point_scale(point_subtract(down, up), 0.5 / h);
    double determinant = point_cross(u, v);

    inverse[0] = v.y / determinant;
    inverse[1] = -v.x / determinant;
    inverse[2] = -u.y / determinant;
    inverse[3] = u.x / determinant;
}

/* A region's box from its moments: a filled box has a variance of half its width squared / 3. */
struct cell_box sheet_cell_box(const struct sheet *sheet, const struct lattice_node *node)
{
    const struct warp *warp = &sheet->warp;
    const struct region *region = &node->region;
    struct point place = lattice_node_middle(node);
    struct point off = point_subtract(region->centre, warp_apply(warp, place));
    double j[4], column_variance, row_variance;

    pixels_to_lattice(warp, place, j);
    column_variance =
        j[0] * j[0] * region->xx + 2 * j[0] * j[1] * region->xy + j[1] * j[1] * region->yy;
    row_variance =
        j[2] * j[2] * region->xx + 2 * j[2] * j[3] * region->xy + j[3] * j[3] * region->yy;
    return (struct cell_box){
        {place.x + j[0] * off.x + j[1] * off.y, place.y + j[2] * off.x + j[3] * off.y},
        {fmin(sqrt(3 * fmax(column_variance, 0)), HALF_MAX),
         fmin(sqrt(3 * fmax(row_variance, 0)), HALF_MAX)}};
}

/* The median of all boxes that were seen. */
static enum status find_usual(struct sheet *sheet, struct error *error)
{
    size_t count = sheet->lattice.count;
    double *widths = memory_array(count, 2 * sizeof *widths, "cell sizes", error);
    double *heights = widths ? widths + count : NULL;

    if (!widths)
        return error->status;
    for (size_t i = 0; i < count; i++) {
        struct cell_box box = sheet_cell_box(sheet, &sheet->lattice.nodes[i]);

        widths[i] = box.half[AXIS_COLUMN];
        heights[i] = box.half[AXIS_ROW];
    }
    sheet->usual = (struct cell_box){{0, 0}, {SHEET_HALF_DEFAULT, SHEET_HALF_DEFAULT}};
    if (count) {
        sheet->usual.half[AXIS_COLUMN] = statistics_median(widths, count);
        sheet->usual.half[AXIS_ROW] = statistics_median(heights, count);
    }
    free(widths);
    return STATUS_OK;
}

/* Forget what was looked at: it lies elsewhere now. */
static enum status forget_looks(struct sheet *sheet, struct error *error)
{
    size_t columns = (size_t)sheet->lattice.lines[AXIS_COLUMN];
    size_t rows = (size_t)sheet->lattice.lines[AXIS_ROW];
    size_t gaps = (columns + 1) * (rows + 1);

    free(sheet->gaps);
    sheet->gaps = memory_array(gaps + columns * rows, sizeof *sheet->gaps, "a sheet", error);
    sheet->papers = sheet->gaps ? sheet->gaps + gaps : NULL;
    return sheet->gaps ? STATUS_OK : error->status;
}

enum status sheet_fit(struct sheet *sheet, struct error *error)
{
    const struct lattice *lattice = &sheet->lattice;
    enum status status = warp_fit(lattice, &sheet->warp, error);

    sheet->inverse = homography_invert(&lattice->map);
    sheet->far = lattice_plane(
        lattice->gaps, (struct point){lattice->lines[AXIS_COLUMN], lattice->lines[AXIS_ROW]});
    if (!status)
        status = find_usual(sheet, error);
    return status ? status : forget_looks(sheet, error);
}

bool sheet_cell_is_usual(const struct sheet *sheet, const struct cell_box *box)
{
    const double *usual = sheet->usual.half;

    for (enum axis axis = AXIS_COLUMN; axis < AXES; axis++)
        if (!(fabs(box->half[axis] - usual[axis]) < OWN_SIZE * usual[axis]))
            return false;
    return true;
}

struct cell_box sheet_usual_cell(const struct sheet *sheet, int column, int row)
{
    return (struct cell_box){{column + 0.5, row + 0.5},
                             {sheet->usual.half[AXIS_COLUMN], sheet->usual.half[AXIS_ROW]}};
}

struct quad sheet_cell_outline(const struct sheet *sheet, const struct cell_box *box)
{
    return warp_box(
        &sheet->warp,
        (struct point){box->middle.x - box->half[AXIS_COLUMN], box->middle.y - box->half[AXIS_ROW]},
        (struct point){box->middle.x + box->half[AXIS_COLUMN],
                       box->middle.y + box->half[AXIS_ROW]});
}

struct quad sheet_bounds(const struct sheet *sheet)
{
    struct homography stretched = {{sheet->far.x, 0, 0, 0, sheet->far.y, 0, 0, 0, 1}};
    struct homography map = homography_compose(&sheet->lattice.map, &stretched);

    return homography_cell(&map, 0, 0);
}

const struct lattice_node *sheet_nearest(const struct sheet *sheet, struct point at)
{
    const struct lattice *lattice = &sheet->lattice;
    const struct lattice_node *nearest = &lattice->nodes[0];

    for (size_t i = 1; i < lattice->count; i++)
        if (point_distance(lattice->nodes[i].region.centre, at) <
            point_distance(nearest->region.centre, at))
            nearest = &lattice->nodes[i];
    return nearest;
}

bool view_on_card(const struct view *view, struct point at)
{
    for (int i = 0; i < 2; i++) {
        struct quad area = quad_inset(&view->cards[i].corners, -CARD_MARGIN);

        if (view->cards[i].found && quad_contains(&area, at))
            return true;
    }
    return false;
}
