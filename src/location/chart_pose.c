#include "location/chart_pose.h"

#include "base/memory.h"
#include "location/chart_extent.h"
#include "location/ink.h"
#include "location/outline.h"
#include "location/warp.h"
#include "values/statistics.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define NODES_MIN 4
#define MISFIT_NODES_MIN 9 /* fewer do not fix a map that one could be a misfit of */
#define CARD_MARGIN 0.06   /* of the card's side: regions this near are its frame */
#define HALF_DEFAULT 0.42  /* of the pitch, where no region tells how much of it a cell fills */
#define HALF_MAX 0.5
#define OWN_SIZE 0.33 /* a cell's own half width is trusted this near to the usual one */
#define OFF_MAX 0.3   /* of the pitch: a cell's middle lies no farther off its place */

/* A cell's box in lattice coordinates: its middle and half its width and height. */
struct cell_box {
    struct point middle;
    double half_column;
    double half_row;
};

void chart_pose_release(struct chart_pose *pose)
{
    free(pose->outline);
    free(pose->seen);
    memset(pose, 0, sizeof *pose);
}

/* The regions that do not lie on a card or its frame; still sorted by x. */
static enum status regions_off_cards(const struct regions *regions, const struct card_pose cards[2],
                                     struct regions *off, struct error *error)
{
    struct quad areas[2] = {quad_inset(&cards[0].corners, -CARD_MARGIN),
                            quad_inset(&cards[1].corners, -CARD_MARGIN)};

    off->items = memory_array(regions->count, sizeof *off->items, "regions", error);
    if (!off->items)
        return error->status;
    for (size_t i = 0; i < regions->count; i++)
        if (!quad_contains(&areas[0], regions->items[i].centre) &&
            !(cards[1].found && quad_contains(&areas[1], regions->items[i].centre)))
            off->items[off->count++] = regions->items[i];
    return STATUS_OK;
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
static struct cell_box box_of_node(const struct warp *warp, const struct lattice_node *node)
{
    const struct region *region = &node->region;
    struct point place = {node->column + 0.5, node->row + 0.5};
    struct point off = point_subtract(region->centre, warp_apply(warp, place));
    double j[4], column_variance, row_variance;

    pixels_to_lattice(warp, place, j);
    column_variance =
        j[0] * j[0] * region->xx + 2 * j[0] * j[1] * region->xy + j[1] * j[1] * region->yy;
    row_variance =
        j[2] * j[2] * region->xx + 2 * j[2] * j[3] * region->xy + j[3] * j[3] * region->yy;
    return (struct cell_box){
        {place.x + j[0] * off.x + j[1] * off.y, place.y + j[2] * off.x + j[3] * off.y},
        fmin(sqrt(3 * fmax(column_variance, 0)), HALF_MAX),
        fmin(sqrt(3 * fmax(row_variance, 0)), HALF_MAX)};
}

/* The usual box of a cell, about (0, 0), from all that were seen. */
static enum status usual_box(const struct lattice *lattice, const struct warp *warp,
                             struct cell_box *usual, struct error *error)
{
    double *widths = memory_array(lattice->count, 2 * sizeof *widths, "cell sizes", error);
    double *heights = widths ? widths + lattice->count : NULL;

    if (!widths)
        return error->status;
    for (size_t i = 0; i < lattice->count; i++) {
        struct cell_box box = box_of_node(warp, &lattice->nodes[i]);

        widths[i] = box.half_column;
        heights[i] = box.half_row;
    }
    *usual = (struct cell_box){{0, 0},
                               statistics_median(widths, lattice->count),
                               statistics_median(heights, lattice->count)};
    free(widths);
    return STATUS_OK;
}

static bool trusted(const struct cell_box *box, const struct cell_box *usual)
{
    return fabs(box->half_column - usual->half_column) < OWN_SIZE * usual->half_column &&
           fabs(box->half_row - usual->half_row) < OWN_SIZE * usual->half_row;
}

/* Drop the nodes that are not where, or not of the size, that cells are: clutter at the rim. */
static enum status drop_misfits(struct lattice *lattice, struct error *error)
{
    struct warp warp;
    struct cell_box usual = {{0, 0}, 0, 0};
    enum status status = warp_fit(lattice, &warp, error);
    size_t kept = 0;

    if (!status)
        status = usual_box(lattice, &warp, &usual, error);
    for (size_t i = 0; !status && i < lattice->count; i++) {
        struct lattice_node *node = &lattice->nodes[i];
        struct cell_box box = box_of_node(&warp, node);
        double off = hypot(box.middle.x - node->column - 0.5, box.middle.y - node->row - 0.5);

        if (off < OFF_MAX && trusted(&box, &usual))
            lattice->nodes[kept++] = *node;
    }
    lattice->count = status ? lattice->count : kept;
    return status;
}

/* Keep of a lattice what can be a chart: cells of one size on white paper, no stray rim. */
static enum status clean_lattice(const struct photo *photo, const struct card_pose *card,
                                 struct lattice *lattice, struct error *error)
{
    struct warp warp;
    enum status status = warp_fit(lattice, &warp, error);

    if (!status)
        ink_keep_on_paper(photo, &warp, card, lattice);
    if (!status && lattice->count >= NODES_MIN)
        status = lattice_fit(lattice, error);
    if (!status && lattice->count >= MISFIT_NODES_MIN)
        status = drop_misfits(lattice, error);
    if (!status && lattice->count >= NODES_MIN)
        status = chart_extent_split(photo, lattice, error);
    if (!status && lattice->count >= NODES_MIN)
        status = chart_extent_trim(lattice, error);
    if (status == STATUS_NOT_FOUND) { /* no plane fits what is left: no chart */
        lattice->count = 0;
        status = STATUS_OK;
    }
    return status;
}

/* How much ink a lattice shows, in pixels; less where it leaves places bare, as one laid askew
 * over the chart does. */
static enum status ink_of(const struct photo *photo, const struct lattice *lattice, double *ink,
                          struct error *error)
{
    struct warp warp;
    enum status status = STATUS_OK;

    *ink = 0;
    if (lattice->count < NODES_MIN)
        return STATUS_OK;
    status = warp_fit(lattice, &warp, error);
    for (size_t i = 0; !status && i < lattice->count; i++)
        if (ink_look(photo, &warp, lattice->nodes[i].column, lattice->nodes[i].row) == INK_SEEN)
            *ink += lattice->nodes[i].region.area_px;
    *ink *= (double)lattice->count / ((double)lattice->rows * lattice->columns);
    return status;
}

/* The index of the lattice with the most ink; lattices->count if there is none. */
static enum status choose_lattice(const struct photo *photo, struct lattices *lattices,
                                  const struct card_pose *card, size_t *chosen, struct error *error)
{
    enum status status = STATUS_OK;
    double most = 0;

    *chosen = lattices->count;
    for (size_t i = 0; !status && i < lattices->count; i++) {
        double ink = 0;

        status = clean_lattice(photo, card, &lattices->items[i], error);
        if (!status)
            status = ink_of(photo, &lattices->items[i], &ink, error);
        if (!status && ink > most) {
            most = ink;
            *chosen = i;
        }
    }
    return status;
}

static struct quad outline_of_box(const struct warp *warp, const struct cell_box *box)
{
    return warp_box(
        warp, (struct point){box->middle.x - box->half_column, box->middle.y - box->half_row},
        (struct point){box->middle.x + box->half_column, box->middle.y + box->half_row});
}

static enum status allocate_cells(struct chart_pose *pose, struct error *error)
{
    size_t count = (size_t)pose->rows * (size_t)pose->columns;

    pose->outline = memory_array(count, sizeof *pose->outline, "the chart's cells", error);
    pose->seen = memory_array(count, sizeof *pose->seen, "the chart's cells", error);
    return pose->outline && pose->seen ? STATUS_OK : error->status;
}

/* A region as it would be seen if it filled an outline evenly: its moments are those of the two
 * half-sides, each a third of its square. */
static struct region region_of_outline(const struct quad *outline)
{
    const struct point *c = outline->corner;
    struct point u =
        point_scale(point_subtract(point_add(c[1], c[2]), point_add(c[0], c[3])), 0.25);
    struct point v =
        point_scale(point_subtract(point_add(c[2], c[3]), point_add(c[0], c[1])), 0.25);

    return (struct region){.centre = quad_centre(outline),
                           .area_px = quad_area(outline),
                           .xx = (u.x * u.x + v.x * v.x) / 3,
                           .xy = (u.x * u.y + v.x * v.y) / 3,
                           .yy = (u.y * u.y + v.y * v.y) / 3,
                           .compactness = 1};
}

/* Lay every cell of the chart by the lattice, in the usual size. */
static void place_cells(const struct warp *warp, const struct chart_extent *extent,
                        const struct cell_box *usual, struct chart_pose *pose)
{
    for (int i = 0; i < pose->rows * pose->columns; i++) {
        struct cell_box box = *usual;

        box.middle = (struct point){i % pose->columns + extent->column + 0.5,
                                    i / pose->columns + extent->row + 0.5};
        if (!pose->seen[i])
            pose->outline[i] = outline_of_box(warp, &box);
    }
}

/* Lay the cells that were seen by their own regions, then by their own edges; and put what their
 * edges say back into the lattice's nodes. */
static void place_seen(const struct photo *photo, const struct warp *warp,
                       const struct chart_extent *extent, struct lattice *lattice,
                       struct chart_pose *pose)
{
    for (size_t i = 0; i < lattice->count; i++) {
        struct lattice_node *node = &lattice->nodes[i];
        int row = node->row - extent->row, column = node->column - extent->column;
        struct cell_box box = box_of_node(warp, node);
        struct quad outline = outline_of_box(warp, &box);

        if (row < 0 || column < 0 || row >= pose->rows || column >= pose->columns)
            continue;
        if (outline_refine(photo, &outline))
            node->region = region_of_outline(&outline);
        pose->outline[row * pose->columns + column] = outline;
        pose->seen[row * pose->columns + column] = true;
    }
}

static void set_corners(struct chart_pose *pose)
{
    const struct quad *cells = pose->outline;
    int last = pose->rows * pose->columns - 1;

    pose->corners =
        (struct quad){{cells[0].corner[0], cells[pose->columns - 1].corner[1],
                       cells[last].corner[2], cells[last - pose->columns + 1].corner[3]}};
}

static enum status pose_from_lattice(const struct photo *photo, const struct chart_extent *extent,
                                     struct lattice *lattice, struct chart_pose *pose,
                                     struct error *error)
{
    struct cell_box usual = {{0, 0}, HALF_DEFAULT, HALF_DEFAULT};
    struct warp warp;
    enum status status = warp_fit(lattice, &warp, error);

    pose->rows = extent->rows;
    pose->columns = extent->columns;
    if (!status)
        status = allocate_cells(pose, error);
    if (!status) {
        place_seen(photo, &warp, extent, lattice, pose);
        status = warp_fit(lattice, &warp, error);
    }
    if (!status)
        status = usual_box(lattice, &warp, &usual, error);
    if (!status) {
        place_cells(&warp, extent, &usual, pose);
        set_corners(pose);
    }
    return status;
}

static enum status pose_from_chosen(const struct photo *photo, const struct chart_wanted *wanted,
                                    struct lattice *lattice, struct chart_pose *pose,
                                    struct error *error)
{
    struct chart_extent extent = {0};
    enum status status = chart_extent_find(photo, wanted, lattice, &extent, error);

    if (!status)
        status = pose_from_lattice(photo, &extent, lattice, pose, error);
    return status;
}

enum status chart_pose_find(const struct photo *photo, const struct regions *regions,
                            const struct card_pose cards[2], const struct chart_wanted *wanted,
                            struct chart_pose *pose, struct error *error)
{
    struct regions off_card = {0};
    struct lattices lattices = {0};
    size_t chosen = 0;
    enum status status = regions_off_cards(regions, cards, &off_card, error);

    if (!status)
        status = lattice_find_all(&off_card, &lattices, error);
    if (!status)
        status = choose_lattice(photo, &lattices, &cards[0], &chosen, error);
    if (!status && chosen == lattices.count)
        status = error_set(error, STATUS_NOT_FOUND,
                           "%s: the card is there, but no chart: cells of ink in rows and columns "
                           "on white paper were wanted; photograph the whole sheet sharply, or "
                           "give its corners with --chart-at, --rows and --columns",
                           photo->path);
    if (!status)
        status = pose_from_chosen(photo, wanted, &lattices.items[chosen], pose, error);
    lattices_release(&lattices);
    regions_release(&off_card);
    return status;
}

enum status chart_pose_from_corners(const struct photo *photo, const struct quad *corners,
                                    const struct chart_wanted *wanted, struct chart_pose *pose,
                                    struct error *error)
{
    const struct cell_box usual = {{0, 0}, HALF_DEFAULT, HALF_DEFAULT};
    const struct chart_extent extent = {0, 0, wanted->rows, wanted->columns};
    const double rim = 0.5 - HALF_DEFAULT;
    struct warp warp = {.reach = 1};
    struct point from[4] = {{rim, rim},
                            {wanted->columns - rim, rim},
                            {wanted->columns - rim, wanted->rows - rim},
                            {rim, wanted->rows - rim}};
    struct homography_points points = {from, corners->corner, NULL, 4, 0};
    enum status status;

    if (wanted->rows < 1 || wanted->columns < 1)
        return error_set(error, STATUS_USAGE,
                         "%s: --chart-at says where the chart lies, but not how many rows and "
                         "columns it has; add --rows and --columns, or --names",
                         photo->path);
    status = homography_fit(&points, &warp.map, error);
    pose->rows = wanted->rows;
    pose->columns = wanted->columns;
    pose->given = true;
    if (!status)
        status = allocate_cells(pose, error);
    if (!status) {
        place_cells(&warp, &extent, &usual, pose);
        set_corners(pose);
    }
    return status;
}
