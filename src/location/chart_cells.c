#include "chart_cells.h"

#include "base/memory.h"
#include "outline.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define OWN_OFF_MAX 0.04    /* of the side: an outline this like the others is its cell's own */
#define UNLIKE_OFF_MIN 0.08 /* and one this unlike them, with no edge near them, is none */

void chart_pose_release(struct chart_pose *pose)
{
    free(pose->outline);
    free(pose->seen);
    free(pose->corner_error);
    memset(pose, 0, sizeof *pose);
}

static enum status allocate_cells(struct chart_pose *pose, struct error *error)
{
    size_t count = (size_t)pose->rows * (size_t)pose->columns;

    pose->outline = memory_array(count, sizeof *pose->outline, "the chart's cells", error);
    pose->seen = memory_array(count, sizeof *pose->seen, "the chart's cells", error);
    pose->corner_error =
        memory_array(count, sizeof *pose->corner_error, "the chart's cells", error);
    if (!pose->outline || !pose->seen || !pose->corner_error)
        return error->status;
    for (size_t i = 0; i < count; i++)
        pose->corner_error[i] = INFINITY;
    return STATUS_OK;
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

/* A cell of the chart as the sheet counts it. */
static struct cell_box usual_box(const struct sheet *sheet, const struct chart_lay *lay,
                                 const struct chart_pose *pose, int cell)
{
    return sheet_usual_cell(sheet, cell % pose->columns + lay->column,
                            cell / pose->columns + lay->row);
}

/* Lay the cells that were not seen by the sheet, in the usual size. */
static void place_unseen(const struct sheet *sheet, const struct chart_lay *lay,
                         struct chart_pose *pose)
{
    for (int i = 0; i < pose->rows * pose->columns; i++) {
        struct cell_box box = usual_box(sheet, lay, pose, i);

        if (!pose->seen[i])
            pose->outline[i] = sheet_cell_outline(sheet, &box);
    }
}

/* Lay the cells that were seen by their own regions, then by their own edges; and put what their
 * edges say back into the sheet's nodes. */
static void place_seen(struct sheet *sheet, const struct chart_lay *lay, struct chart_pose *pose)
{
    for (size_t i = 0; i < sheet->lattice.count; i++) {
        struct lattice_node *node = &sheet->lattice.nodes[i];
        int row = node->at[AXIS_ROW] - lay->row;
        int column = node->at[AXIS_COLUMN] - lay->column;
        int cell = row * pose->columns + column;
        struct cell_box box = sheet_cell_box(sheet, node);
        struct quad outline = sheet_cell_outline(sheet, &box);

        if (row < 0 || column < 0 || row >= pose->rows || column >= pose->columns)
            continue;
        if (outline_refine(sheet->view->photo, &outline_of_region, &outline,
                           &pose->corner_error[cell]))
            node->region = region_of_outline(&outline);
        pose->outline[cell] = outline;
        pose->seen[cell] = true;
    }
}

/* How far an outline is off another, in sides of that. */
static double off_by(const struct quad *wanted, const struct quad *outline)
{
    double side = sqrt(fabs(quad_area(wanted))), off = 0;

    for (int i = 0; i < 4; i++)
        off = fmax(off, point_distance(wanted->corner[i], outline->corner[i]) / side);
    return off;
}

/* Look again, near to where cells like it have their edges, where a cell's outline is unlike
 * theirs: pale ink has weaker edges than what is drawn or written about it. */
static void settle_seen(const struct sheet *sheet, const struct chart_lay *lay,
                        struct chart_pose *pose)
{
    for (int i = 0; i < pose->rows * pose->columns; i++) {
        struct cell_box box = usual_box(sheet, lay, pose, i);
        struct quad usual = sheet_cell_outline(sheet, &box), outline = usual;

        if (!pose->seen[i] ||
            (isfinite(pose->corner_error[i]) && off_by(&usual, &pose->outline[i]) < OWN_OFF_MAX))
            continue;
        if (outline_refine(sheet->view->photo, &outline_near, &outline, &pose->corner_error[i]) ||
            off_by(&usual, &pose->outline[i]) > UNLIKE_OFF_MIN)
            pose->outline[i] = outline;
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

enum status chart_cells_place(struct sheet *sheet, const struct chart_lay *lay,
                              struct chart_pose *pose, struct error *error)
{
    enum status status = allocate_cells(pose, error);

    if (!status) {
        place_seen(sheet, lay, pose);
        status = sheet_fit(sheet, error);
    }
    if (!status) {
        settle_seen(sheet, lay, pose);
        place_unseen(sheet, lay, pose);
        set_corners(pose);
    }
    return status;
}
