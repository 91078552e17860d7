#include "chart_lines.h"

#include "base/memory.h"
#include "likeness.h"
#include "values/statistics.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define LINES_MAX (CHART_COLUMNS_MAX > CHART_ROWS_MAX ? CHART_COLUMNS_MAX : CHART_ROWS_MAX)
#define IN_LINE 0.17     /* pitches by which a cell may lie off its line */
#define APART 0.9        /* of a cell's width: columns stand at least this far apart */
#define HELD 0.3         /* of a region's side: nearer, a sighting is of a cell the lattice has */
#define SUPPORT_MIN 2    /* cells in line that make a new column or row */
#define SUPPORT_PART 0.3 /* and of the lines that cross it */
#define NEXT_OFF 0.06    /* pitches off the next line's place */
#define ROUNDS_MAX 24    /* each adds a column or a row */
#define SAME_PITCH 0.15  /* relative: steps that differ less are of one pitch */
#define WHOLE 0.12       /* a gap this near to whole pitches is of blank columns or rows */

/* A region that looks like a cell of the chart and is none of its nodes. */
struct sighting {
    struct region region;
    double plane[AXES]; /* where it lies on the lattice's */
    bool on_sheet; /* the chart's paper surely reaches there; else it may be paper in a shadow */
};

struct sightings {
    struct sighting *items;
    size_t count;
};

/* The lines of one kind, columns or rows, by their middles on the lattice's plane. */
struct lines {
    enum axis axis;
    double at[LINES_MAX];
    bool held[LINES_MAX]; /* by a node at least */
    int count;
};

static struct lines lines_of(const struct lattice *lattice, enum axis axis)
{
    struct lines lines = {.axis = axis, .count = lattice->lines[axis]};

    lines.count = lines.count < LINES_MAX ? lines.count : LINES_MAX;
    for (int i = 0; i < lines.count; i++)
        lines.at[i] = lattice_gaps_plane(&lattice->gaps[axis], i + 0.5);
    for (size_t i = 0; i < lattice->count; i++)
        if (lattice->nodes[i].at[axis] < lines.count)
            lines.held[lattice->nodes[i].at[axis]] = true;
    return lines;
}

/* --- sighting ------------------------------------------------------------------------------- */

static bool is_held(const struct lattice *lattice, const struct region *region)
{
    for (size_t i = 0; i < lattice->count; i++)
        if (point_distance(lattice->nodes[i].region.centre, region->centre) <
            HELD * sqrt(region->area_px))
            return true;
    return false;
}

static bool is_on_sheet(const struct likeness *likeness, const struct region *region)
{
    struct point nearest = likeness_nearest(likeness, region->centre)->region.centre;

    return likeness_paper_between(likeness, nearest, region->centre) == PAPER_GOES_ON;
}

static enum status sight(const struct likeness *likeness, const struct regions *regions,
                         struct sightings *sightings, struct error *error)
{
    sightings->items = memory_array(regions->count, sizeof *sightings->items, "cells", error);
    if (!sightings->items)
        return error->status;
    for (size_t i = 0; i < regions->count; i++) {
        const struct region *region = &regions->items[i];
        struct point plane;

        if (likeness_of_region(likeness, region, &plane) && !is_held(likeness->lattice, region))
            sightings->items[sightings->count++] =
                (struct sighting){*region, {plane.x, plane.y}, is_on_sheet(likeness, region)};
    }
    return STATUS_OK;
}

/* --- one more line -------------------------------------------------------------------------- */

/* The line that a place stands on; -1 if it stands on none. */
static int line_at(const struct lines *lines, double at)
{
    for (int i = 0; i < lines->count; i++)
        if (fabs(lines->at[i] - at) < IN_LINE)
            return i;
    return -1;
}

/* Whether a new line has room there: no cell lies over another. */
static bool has_room(const struct lines *lines, double at, double width)
{
    for (int i = 0; i < lines->count; i++)
        if (lines->held[i] && fabs(lines->at[i] - at) < APART * width)
            return false;
    return true;
}

/* The sightings that make one more line with a seed: one on each line that crosses it. */
static size_t supporters_of(const struct sightings *sightings, const struct lines *crossing,
                            double at, size_t supporters[])
{
    enum axis axis = axis_crossing(crossing->axis);
    size_t count = 0;

    for (int line = 0; line < crossing->count; line++) {
        size_t best = sightings->count;

        for (size_t i = 0; i < sightings->count; i++) {
            const struct sighting *here = &sightings->items[i];

            if (fabs(here->plane[axis] - at) < IN_LINE &&
                line_at(crossing, here->plane[crossing->axis]) == line &&
                (best == sightings->count ||
                 fabs(here->plane[axis] - at) < fabs(sightings->items[best].plane[axis] - at)))
                best = i;
        }
        if (best < sightings->count)
            supporters[count++] = best;
    }
    return count;
}

/* Whether a line stands just one pitch beside another, as it should: there one cell tells enough.
 */
static bool is_next_line(const struct lines *lines, double at)
{
    for (int i = 0; i < lines->count; i++)
        if (lines->held[i] && fabs(fabs(lines->at[i] - at) - 1) < NEXT_OFF)
            return true;
    return false;
}

/* The sightings along with a new line that stand between the lines crossing it: where there are
 * many it is another sheet's, of another pitch. */
static size_t between_lines(const struct sightings *sightings, const struct lines *crossing,
                            double at)
{
    enum axis axis = axis_crossing(crossing->axis);
    size_t count = 0;

    for (size_t i = 0; i < sightings->count; i++)
        count += fabs(sightings->items[i].plane[axis] - at) < IN_LINE &&
                 line_at(crossing, sightings->items[i].plane[crossing->axis]) < 0;
    return count;
}

/* A line to be added to a lattice. */
struct new_line {
    double at;
    size_t count;
    size_t supporters[LINES_MAX];
};

static bool mostly_on_sheet(const struct sightings *sightings, const struct new_line *line)
{
    size_t count = 0;

    for (size_t i = 0; i < line->count; i++)
        count += sightings->items[line->supporters[i]].on_sheet;
    return 2 * count > line->count;
}

static struct new_line best_line(const struct sightings *sightings, const struct lines *lines,
                                 const struct lines *crossing, double width)
{
    struct new_line best = {.count = 0};

    for (size_t i = 0; i < sightings->count; i++) {
        const double *plane = sightings->items[i].plane;
        struct new_line trial = {.at = plane[lines->axis]};

        if (!has_room(lines, trial.at, width) || line_at(crossing, plane[crossing->axis]) < 0)
            continue;
        trial.count = supporters_of(sightings, crossing, trial.at, trial.supporters);
        if (is_next_line(lines, trial.at) || mostly_on_sheet(sightings, &trial))
            best = trial.count > best.count ? trial : best;
    }
    if ((best.count < SUPPORT_MIN || (double)best.count < SUPPORT_PART * crossing->count) &&
        !is_next_line(lines, best.at))
        best.count = 0;
    if (best.count < between_lines(sightings, crossing, best.at))
        best.count = 0;
    return best;
}

/* --- counting afresh ------------------------------------------------------------------------ */

static int by_size(const void *a, const void *b)
{
    double left = *(const double *)a, right = *(const double *)b;

    return (left > right) - (left < right);
}

/* The pitch: the median of the steps that are about as short as the shortest. */
static double pitch_of(const double *sorted, int count)
{
    double steps[LINES_MAX + 1], shortest = INFINITY;
    size_t alike = 0;

    for (int i = 1; i < count; i++)
        shortest = fmin(shortest, sorted[i] - sorted[i - 1]);
    for (int i = 1; i < count; i++)
        if (sorted[i] - sorted[i - 1] < (1 + SAME_PITCH) * shortest)
            steps[alike++] = sorted[i] - sorted[i - 1];
    return alike ? statistics_median(steps, alike) : 1;
}

/* Number lines by where they stand: one further for each pitch, with a gap noted where a step is
 * not of whole pitches. */
static bool number_lines(const double *sorted, int count, int *numbers, struct lattice_gaps *gaps)
{
    double pitch = pitch_of(sorted, count);

    *gaps = (struct lattice_gaps){0};
    numbers[0] = 0;
    for (int i = 1; i < count; i++) {
        double steps = (sorted[i] - sorted[i - 1]) / pitch;
        int whole = (int)lround(steps);

        if (fabs(steps - whole) > WHOLE) {
            whole = 1;
            if (gaps->count == LATTICE_GAPS_MAX)
                return false;
            gaps->before[gaps->count] = numbers[i - 1] + whole;
            gaps->extra[gaps->count++] = steps - whole;
        }
        numbers[i] = numbers[i - 1] + whole;
    }
    return true;
}

static void renumber_nodes(struct lattice *lattice, enum axis axis, const int *number_of_line)
{
    for (size_t i = 0; i < lattice->count; i++)
        lattice->nodes[i].at[axis] = number_of_line[lattice->nodes[i].at[axis]];
}

/* Put one more line among those a lattice has: the numbers that each old line and, last, the new
 * one get. */
static bool insert_line(const struct lines *lines, double at, int *numbers,
                        struct lattice_gaps *gaps)
{
    double sorted[LINES_MAX + 1];
    int order[LINES_MAX + 1], count = 0;

    for (int i = 0; i < lines->count; i++)
        if (lines->held[i])
            sorted[count++] = lines->at[i];
    sorted[count++] = at;
    qsort(sorted, (size_t)count, sizeof *sorted, by_size);
    if (!number_lines(sorted, count, order, gaps))
        return false;
    for (int i = 0; i <= lines->count; i++) {
        double here = i < lines->count ? lines->at[i] : at;

        numbers[i] = 0;
        for (int j = 0; j < count; j++)
            if (sorted[j] <= here)
                numbers[i] = order[j];
    }
    return true;
}

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

static enum status add_line(const struct sightings *sightings, const struct lines *lines,
                            const struct lines *crossing, const struct new_line *line,
                            struct lattice *lattice, struct error *error)
{
    struct lattice_gaps gaps;
    int numbers[LINES_MAX + 1];
    enum status status;

    if (!insert_line(lines, line->at, numbers, &gaps))
        return STATUS_OK;
    status = grow_nodes(lattice, line->count, error);
    if (status)
        return status;
    renumber_nodes(lattice, lines->axis, numbers);
    for (size_t i = 0; i < line->count; i++) {
        const struct sighting *cell = &sightings->items[line->supporters[i]];
        struct lattice_node node = {.region = cell->region};

        node.at[lines->axis] = numbers[lines->count];
        node.at[crossing->axis] = line_at(crossing, cell->plane[crossing->axis]);
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
    struct lines columns = lines_of(lattice, AXIS_COLUMN), rows = lines_of(lattice, AXIS_ROW);
    enum status status = STATUS_OK;
    size_t before = lattice->count;

    for (size_t i = 0; !status && i < sightings->count; i++) {
        const struct sighting *cell = &sightings->items[i];
        struct lattice_node node = {
            {line_at(&columns, cell->plane[AXIS_COLUMN]), line_at(&rows, cell->plane[AXIS_ROW])},
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

/* --- all of it ------------------------------------------------------------------------------ */

/* Add the line that most sightings make, columns first; `*added` tells whether there was one. */
static enum status gather_once(const struct photo *photo, const struct regions *regions,
                               const struct card_pose cards[2], struct lattice *lattice,
                               bool *added, struct error *error)
{
    struct likeness likeness;
    struct sightings sightings = {0};
    enum status status = likeness_of_lattice(photo, cards, lattice, &likeness, error);

    *added = false;
    if (!status)
        status = sight(&likeness, regions, &sightings, error);
    if (!status)
        status = fill_places(&sightings, lattice, error);
    for (enum axis axis = AXIS_COLUMN; !status && !*added && axis < AXES; axis++) {
        struct lines lines = lines_of(lattice, axis);
        struct lines crossing = lines_of(lattice, axis_crossing(axis));
        struct new_line line =
            best_line(&sightings, &lines, &crossing, 2 * likeness.usual.half[axis]);

        if (line.count) {
            size_t before = lattice->count;

            status = add_line(&sightings, &lines, &crossing, &line, lattice, error);
            *added = lattice->count > before;
        }
    }
    free(sightings.items);
    return status;
}

enum status chart_lines_gather(const struct photo *photo, const struct regions *regions,
                               const struct card_pose cards[2], struct lattice *lattice,
                               struct error *error)
{
    enum status status = STATUS_OK;
    bool added = true;

    for (int round = 0; !status && added && round < ROUNDS_MAX; round++)
        status = gather_once(photo, regions, cards, lattice, &added, error);
    return status == STATUS_NOT_FOUND ? STATUS_OK : status;
}
