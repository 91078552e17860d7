#include "cell_box.h"

#include "base/memory.h"
#include "values/statistics.h"

#include <math.h>
#include <stdlib.h>

#define HALF_MAX 0.499 /* below a half: a box never reaches over a gap */
#define OWN_SIZE 0.33  /* a cell's own half width is trusted this near to the usual one */

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
struct cell_box cell_box_of_node(const struct warp *warp, const struct lattice_node *node)
{
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

/* The usual box of a cell, about (0, 0), from all that were seen. */
enum status cell_box_usual(const struct lattice *lattice, const struct warp *warp,
                           struct cell_box *usual, struct error *error)
{
    double *widths = memory_array(lattice->count, 2 * sizeof *widths, "cell sizes", error);
    double *heights = widths ? widths + lattice->count : NULL;

    if (!widths)
        return error->status;
    for (size_t i = 0; i < lattice->count; i++) {
        struct cell_box box = cell_box_of_node(warp, &lattice->nodes[i]);

        widths[i] = box.half[AXIS_COLUMN];
        heights[i] = box.half[AXIS_ROW];
    }
    *usual = (struct cell_box){
        {0, 0},
        {statistics_median(widths, lattice->count), statistics_median(heights, lattice->count)}};
    free(widths);
    return STATUS_OK;
}

bool cell_box_is_usual(const struct cell_box *box, const struct cell_box *usual)
{
    for (enum axis axis = AXIS_COLUMN; axis < AXES; axis++)
        if (!(fabs(box->half[axis] - usual->half[axis]) < OWN_SIZE * usual->half[axis]))
            return false;
    return true;
}

struct quad cell_box_outline(const struct warp *warp, const struct cell_box *box)
{
    return warp_box(
        warp,
        (struct point){box->middle.x - box->half[AXIS_COLUMN], box->middle.y - box->half[AXIS_ROW]},
        (struct point){box->middle.x + box->half[AXIS_COLUMN],
                       box->middle.y + box->half[AXIS_ROW]});
}
