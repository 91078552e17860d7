#include "sheet_grow.h"

#include "base/memory.h"
#include "sheet_lines.h"
#include "sheet_paper.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define REACH 2.1        /* pitches outside the sheet within which a cell may belong to it */
#define AREA_RATIO_MAX 2 /* of a region's area to that of the node nearest to it */
#define HELD 0.3         /* of a region's side: nearer, a sighting is of a cell the lattice has */
#define SUPPORT_MIN 2    /* cells in line that make a new column or row */
#define SUPPORT_PART 0.3 /* and of the lines that cross it */
#define ROUNDS_MAX 24    /* each adds a column or a row */
#define SAME_CELL 0.5    /* pitches: nearer sightings are of one cell */
#define LEFTOVER_MAX 16  /* more need not be counted */

/* Of the places along a line that are hatched: it is one of the sheet's; it may be. A title in
 * letters as large as the cells covered 4 of 7. */
#define HATCHED_LINE 0.8
#define HATCHED_LEFTOVER 0.65
#define ONE_TINT 0.4 /* less: lettering of one ink, or grain; swabs in a row differ by more */

/* A region that looks like a cell of the sheet and is none of its nodes. */
struct sighting {
    struct region region;
    double plane[AXES]; /* where it lies on the lattice's */
    bool on_sheet; /* the sheet's paper surely reaches there; else it may be paper in a shadow */
};

struct sightings {
    struct sighting *items;
    size_t count;
    bool touching; /* the sheet's cells leave no paper between them */
};

/* --- sighting ------------------------------------------------------------------------------- */

static bool cells_touch(const struct sheet *sheet)
{
    size_t count = 0;

    for (size_t i = 0; i < sheet->lattice.count; i++) {
        const struct lattice_node *node = &sheet->lattice.nodes[i];

        count += sheet_paper_around(sheet, node, &sheet->usual, node->region.centre);
    }
    return 2 * count < sheet->lattice.count;
}

/* Where a place lies on the lattice's plane: as its map says, but counted from the node nearest to
 * it, for the sheet may curl. */
static struct point plane_of(const struct sheet *sheet, const struct lattice_node *nearest,
                             struct point at)
{
    struct point place = lattice_plane(sheet->lattice.gaps, lattice_node_middle(nearest));
    struct point step = point_subtract(homography_apply(&sheet->inverse, at),
                                       homography_apply(&sheet->inverse, nearest->region.centre));

    return point_add(place, step);
}

static bool is_near(const struct sheet *sheet, struct point plane)
{
    return plane.x > -REACH && plane.y > -REACH && plane.x < sheet->far.x + REACH &&
           plane.y < sheet->far.y + REACH;
}

/* Whether a region looks like one more cell: of their size, on their paper, off the cards, in the
 * sheet or not far beside it; `plane` gets its place on the lattice's plane. */
static bool is_like_cells(const struct sheet *sheet, const struct region *region, bool touching,
                          struct point *plane)
{
    const struct lattice_node *nearest = sheet_nearest(sheet, region->centre);
    const struct lattice_node node = {{nearest->at[AXIS_COLUMN], nearest->at[AXIS_ROW]}, *region};
    struct cell_box box = sheet_cell_box(sheet, &node);
    double ratio = region->area_px / nearest->region.area_px;

    *plane = plane_of(sheet, nearest, region->centre);
    return is_near(sheet, *plane) && ratio < AREA_RATIO_MAX && ratio > 1.0 / AREA_RATIO_MAX &&
           sheet_cell_is_usual(sheet, &box) && !view_on_card(sheet->view, region->centre) &&
           (touching || sheet_paper_around(sheet, nearest, &box, region->centre));
}

static bool is_held(const struct lattice *lattice, const struct region *region)
{
    for (size_t i = 0; i < lattice->count; i++)
        if (point_distance(lattice->nodes[i].region.centre, region->centre) <
            HELD * sqrt(region->area_px))
            return true;
    return false;
}

static bool is_on_sheet(const struct sheet *sheet, const struct region *region)
{
    struct point nearest = sheet_nearest(sheet, region->centre)->region.centre;

    return sheet_paper_between(sheet, nearest, region->centre) == PAPER_GOES_ON;
}

static enum status sight(const struct sheet *sheet, struct sightings *sightings,
                         struct error *error)
{
    const struct regions *regions = sheet->view->regions;

    sightings->touching = cells_touch(sheet);
    sightings->items = memory_array(regions->count, sizeof *sightings->items, "cells", error);
    if (!sightings->items)
        return error->status;
    for (size_t i = 0; i < regions->count; i++) {
        const struct region *region = &regions->items[i];
        struct point plane;

        if (is_like_cells(sheet, region, sightings->touching, &plane) &&
            !is_held(&sheet->lattice, region))
            sightings->items[sightings->count++] =
                (struct sighting){*region, {plane.x, plane.y}, is_on_sheet(sheet, region)};
    }
    return STATUS_OK;
}

/* --- one more line -------------------------------------------------------------------------- */

/* The sightings that make one more line with a seed: one on each line that crosses it. */
static size_t supporters_of(const struct sightings *sightings, const struct sheet_lines *crossing,
                            double at, size_t supporters[])
{
    enum axis axis = axis_crossing(crossing->axis);
    size_t count = 0;

    for (int line = 0; line < crossing->count; line++) {
        size_t best = sightings->count;

        for (size_t i = 0; i < sightings->count; i++) {
            const struct sighting *here = &sightings->items[i];

            if (fabs(here->plane[axis] - at) < SHEET_LINES_OFF_MAX &&
                sheet_lines_at(crossing, here->plane[crossing->axis]) == line &&
                (best == sightings->count ||
                 fabs(here->plane[axis] - at) < fabs(sightings->items[best].plane[axis] - at)))
                best = i;
        }
        if (best < sightings->count)
            supporters[count++] = best;
    }
    return count;
}

/* The sightings along with a new line that stand between the lines crossing it: where there are
 * many it is another sheet's, of another pitch. */
static size_t between_lines(const struct sightings *sightings, const struct sheet_lines *crossing,
                            double at)
{
    enum axis axis = axis_crossing(crossing->axis);
    size_t count = 0;

    for (size_t i = 0; i < sightings->count; i++)
        count += fabs(sightings->items[i].plane[axis] - at) < SHEET_LINES_OFF_MAX &&
                 sheet_lines_at(crossing, sightings->items[i].plane[crossing->axis]) < 0;
    return count;
}

/* A line to be added to a lattice. */
struct new_line {
    double at;
    size_t count;
    size_t supporters[SHEET_LINES_MAX];
};

static bool mostly_on_sheet(const struct sightings *sightings, const struct new_line *line)
{
    size_t count = 0;

    for (size_t i = 0; i < line->count; i++)
        count += sightings->items[line->supporters[i]].on_sheet;
    return 2 * count > line->count;
}

static struct new_line best_line(const struct sightings *sightings, const struct sheet_lines *lines,
                                 const struct sheet_lines *crossing, double width)
{
    struct new_line best = {.count = 0};

    for (size_t i = 0; i < sightings->count; i++) {
        const double *plane = sightings->items[i].plane;
        struct new_line trial = {.at = plane[lines->axis]};

        if (!sheet_lines_have_room(lines, trial.at, width) ||
            sheet_lines_at(crossing, plane[crossing->axis]) < 0)
            continue;
        trial.count = supporters_of(sightings, crossing, trial.at, trial.supporters);
        if (sheet_lines_has_neighbour(lines, trial.at) || mostly_on_sheet(sightings, &trial))
            best = trial.count > best.count ? trial : best;
    }
    if ((best.count < SUPPORT_MIN || (double)best.count < SUPPORT_PART * crossing->count) &&
        !sheet_lines_has_neighbour(lines, best.at))
        best.count = 0;
    if (best.count < between_lines(sightings, crossing, best.at))
        best.count = 0;
    return best;
}

/* --- taking it in --------------------------------------------------------------------------- */

static enum status grow_nodes(struct lattice *lattice, size_t more, struct error *error)
{
    struct lattice_node *nodes =
        memory_array(lattice->count + more, sizeof *nodes, "a lattice", error);

    if (!nodes)
        return error->status;
    memcpy(nodes, lattice->nodes, lattice->count * sizeof *nodes);
    free(lattice->nodes);
    lattice->nodes = nodes;
    return STATUS_OK;
}

static void count_lines(struct lattice *lattice)
{
    for (enum axis axis = AXIS_COLUMN; axis < AXES; axis++) {
        lattice->lines[axis] = 0;
        for (size_t i = 0; i < lattice->count; i++)
            if (lattice->nodes[i].at[axis] >= lattice->lines[axis])
                lattice->lines[axis] = lattice->nodes[i].at[axis] + 1;
    }
}

static enum status add_line(const struct sightings *sightings, const struct sheet_lines *lines,
                            const struct sheet_lines *crossing, const struct new_line *line,
                            struct lattice *lattice, struct error *error)
{
    struct lattice_gaps gaps;
    int numbers[SHEET_LINES_MAX + 1];
    enum status status;

    if (!sheet_lines_insert(lines, line->at, numbers, &gaps))
        return STATUS_OK;
    status = grow_nodes(lattice, line->count, error);
    if (status)
        return status;
    for (size_t i = 0; i < lattice->count; i++)
        lattice->nodes[i].at[lines->axis] = numbers[lattice->nodes[i].at[lines->axis]];
    for (size_t i = 0; i < line->count; i++) {
        const struct sighting *cell = &sightings->items[line->supporters[i]];
        struct lattice_node node = {.region = cell->region};

        node.at[lines->axis] = numbers[lines->count];
        node.at[crossing->axis] = sheet_lines_at(crossing, cell->plane[crossing->axis]);
        lattice->nodes[lattice->count++] = node;
    }
    lattice->gaps[lines->axis] = gaps;
    count_lines(lattice);
    return lattice_fit(lattice, error);
}

/* Add the sightings that stand where a column and a row cross, and no cell was seen. */
static enum status fill_places(const struct sightings *sightings, struct lattice *lattice,
                               struct error *error)
{
    struct sheet_lines columns = sheet_lines_of(lattice, AXIS_COLUMN);
    struct sheet_lines rows = sheet_lines_of(lattice, AXIS_ROW);
    enum status status = STATUS_OK;
    size_t before = lattice->count;

    for (size_t i = 0; !status && i < sightings->count; i++) {
        const struct sighting *cell = &sightings->items[i];
        struct lattice_node node = {{sheet_lines_at(&columns, cell->plane[AXIS_COLUMN]),
                                     sheet_lines_at(&rows, cell->plane[AXIS_ROW])},
                                    cell->region};
        bool taken = node.at[AXIS_COLUMN] < 0 || node.at[AXIS_ROW] < 0;

        for (size_t j = 0; !taken && j < lattice->count; j++)
            taken = lattice->nodes[j].at[AXIS_COLUMN] == node.at[AXIS_COLUMN] &&
                    lattice->nodes[j].at[AXIS_ROW] == node.at[AXIS_ROW];
        if (taken)
            continue;
        status = grow_nodes(lattice, 1, error);
        if (!status)
            lattice->nodes[lattice->count++] = node;
    }
    return !status && lattice->count > before ? lattice_fit(lattice, error) : status;
}

/* Add the line that most sightings make, columns first; `*added` tells whether there was one. */
static enum status add_best(const struct sightings *sightings, struct sheet *sheet, bool *added,
                            struct error *error)
{
    struct lattice *lattice = &sheet->lattice;
    enum status status = STATUS_OK;

    for (enum axis axis = AXIS_COLUMN; !status && !*added && axis < AXES; axis++) {
        struct sheet_lines lines = sheet_lines_of(lattice, axis);
        struct sheet_lines crossing = sheet_lines_of(lattice, axis_crossing(axis));
        struct new_line line = best_line(sightings, &lines, &crossing, 2 * sheet->usual.half[axis]);
        size_t before = lattice->count;

        if (line.count)
            status = add_line(sightings, &lines, &crossing, &line, lattice, error);
        *added = lattice->count > before;
    }
    return status;
}

static enum status grow_once(struct sheet *sheet, bool *added, struct error *error)
{
    struct sightings sightings = {0};
    enum status status = sight(sheet, &sightings, error);

    *added = false;
    if (!status)
        status = fill_places(&sightings, &sheet->lattice, error);
    if (!status)
        status = add_best(&sightings, sheet, added, error);
    if (status == STATUS_NOT_FOUND) { /* no plane fits them all: that far, and no farther */
        *added = false;
        status = STATUS_OK;
    }
    if (!status)
        status = sheet_fit(sheet, error);
    free(sightings.items);
    return status;
}

/* --- lines without regions ------------------------------------------------------------------ */

static int lines_max(enum axis axis)
{
    return axis == AXIS_COLUMN ? CHART_COLUMNS_MAX : CHART_ROWS_MAX;
}

/* The hatched cells along a line; none where all are of one tint, for then it is lettering. */
static int hatched_along(const struct sheet *sheet, enum axis axis, int line)
{
    double low[2] = {INFINITY, INFINITY}, high[2] = {-INFINITY, -INFINITY};
    int count = 0;

    for (int i = 0; i < sheet->lattice.lines[axis_crossing(axis)]; i++) {
        double tint[2];

        if (!sheet_hatched(sheet, axis == AXIS_COLUMN ? line : i, axis == AXIS_COLUMN ? i : line,
                           tint))
            continue;
        for (int k = 0; k < 2; k++) {
            low[k] = fmin(low[k], tint[k]);
            high[k] = fmax(high[k], tint[k]);
        }
        count++;
    }
    return count && fmax(high[0] - low[0], high[1] - low[1]) > ONE_TINT ? count : 0;
}

/* The line beside the sheet on one of its four sides. */
static int line_beside(const struct sheet *sheet, int side)
{
    return side % 2 ? -1 : sheet->lattice.lines[side / 2];
}

/* The part of the places beside the sheet, on one of its sides, that are hatched. */
static double hatched_part(const struct sheet *sheet, int side)
{
    enum axis axis = (enum axis)(side / 2);
    int count = hatched_along(sheet, axis, line_beside(sheet, side));

    return count >= SUPPORT_MIN ? (double)count / sheet->lattice.lines[axis_crossing(axis)] : 0;
}

/* One more line in front of all or behind them, without nodes. */
static enum status add_bare_line(struct sheet *sheet, enum axis axis, bool in_front,
                                 struct error *error)
{
    struct lattice *lattice = &sheet->lattice;
    enum status status;

    lattice->lines[axis]++;
    for (size_t i = 0; in_front && i < lattice->count; i++)
        lattice->nodes[i].at[axis]++;
    for (int i = 0; in_front && i < lattice->gaps[axis].count; i++)
        lattice->gaps[axis].before[i]++;
    status = lattice_fit(lattice, error);
    return status ? status : sheet_fit(sheet, error);
}

/* Take in whole lines beside the sheet that were hatched with a pen. */
static enum status grow_hatched(struct sheet *sheet, bool *added, struct error *error)
{
    enum status status = STATUS_OK;

    *added = false;
    for (int side = 0; !status && !*added && side < 2 * AXES; side++) {
        enum axis axis = (enum axis)(side / 2);

        *added = sheet->lattice.lines[axis] < lines_max(axis) &&
                 hatched_part(sheet, side) >= HATCHED_LINE;
        if (*added)
            status = add_bare_line(sheet, axis, side % 2, error);
    }
    return status;
}

enum status sheet_grow(struct sheet *sheet, struct error *error)
{
    enum status status = STATUS_OK;
    bool added = true;

    for (int round = 0; !status && added && round < ROUNDS_MAX; round++)
        status = grow_once(sheet, &added, error);
    added = true;
    for (int round = 0; !status && added && round < ROUNDS_MAX; round++)
        status = grow_hatched(sheet, &added, error);
    return status;
}

/* --- what is left over ---------------------------------------------------------------------- */

static bool is_outside(const struct sheet *sheet, const double plane[AXES])
{
    return !(plane[AXIS_COLUMN] > 0 && plane[AXIS_ROW] > 0 && plane[AXIS_COLUMN] < sheet->far.x &&
             plane[AXIS_ROW] < sheet->far.y);
}

static bool is_another(const struct sighting *sightings, size_t count, const double plane[AXES])
{
    for (size_t i = 0; i < count; i++)
        if (hypot(sightings[i].plane[AXIS_COLUMN] - plane[AXIS_COLUMN],
                  sightings[i].plane[AXIS_ROW] - plane[AXIS_ROW]) < SAME_CELL)
            return false;
    return true;
}

/* The sightings beside the sheet that go on with it: in line with its columns or rows, and on its
 * paper. They are put first among all. */
static int beside(const struct sheet *sheet, struct sightings *sightings)
{
    const struct sheet_lines columns = sheet_lines_of(&sheet->lattice, AXIS_COLUMN);
    const struct sheet_lines rows = sheet_lines_of(&sheet->lattice, AXIS_ROW);
    size_t count = 0;

    for (size_t i = 0; i < sightings->count && count < LEFTOVER_MAX; i++) {
        const struct sighting *cell = &sightings->items[i];

        if (cell->on_sheet && is_outside(sheet, cell->plane) &&
            (sheet_lines_at(&columns, cell->plane[AXIS_COLUMN]) >= 0 ||
             sheet_lines_at(&rows, cell->plane[AXIS_ROW]) >= 0) &&
            is_another(sightings->items, count, cell->plane))
            sightings->items[count++] = *cell;
    }
    return (int)count;
}

/* The inked places beside the sheet, on its four sides: cells that touch make no regions. */
static int inked_around(const struct sheet *sheet)
{
    int rows = sheet->lattice.lines[AXIS_ROW], columns = sheet->lattice.lines[AXIS_COLUMN];
    int count = 0;

    for (int row = 0; row < rows; row++)
        count += sheet_ink_goes_on(sheet, -1, row) + sheet_ink_goes_on(sheet, columns, row);
    for (int column = 0; column < columns; column++)
        count += sheet_ink_goes_on(sheet, column, -1) + sheet_ink_goes_on(sheet, column, rows);
    return count;
}

/* The same of those that are hatched, where they are most of a line. */
static int hatched_around(const struct sheet *sheet)
{
    int count = 0;

    for (int side = 0; side < 2 * AXES; side++) {
        double part = hatched_part(sheet, side);
        enum axis crossing = axis_crossing((enum axis)(side / 2));

        if (part >= HATCHED_LEFTOVER)
            count += (int)lround(part * sheet->lattice.lines[crossing]);
    }
    return count;
}

/* Cells that make no regions, for they touch, or are hatched, are told place by place. */
enum status sheet_grow_leftover(const struct sheet *sheet, int *count, struct error *error)
{
    struct sightings sightings = {0};
    enum status status = sight(sheet, &sightings, error);

    *count = status ? 0 : beside(sheet, &sightings);
    if (!status) {
        int more = sightings.touching ? inked_around(sheet) : hatched_around(sheet);

        *count = more > *count ? more : *count;
    }
    free(sightings.items);
    return status;
}
