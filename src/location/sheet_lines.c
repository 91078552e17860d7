#include "sheet_lines.h"

#include "values/statistics.h"

#include <math.h>
#include <stdlib.h>

#define APART 0.9       /* of a cell's width: columns stand at least this far apart */
#define NEXT_OFF 0.06   /* pitches off the next line's place */
#define SAME_PITCH 0.15 /* relative: steps that differ less are of one pitch */
#define WHOLE 0.12      /* a gap this near to whole pitches is of blank columns or rows */

struct sheet_lines sheet_lines_of(const struct lattice *lattice, enum axis axis)
{
    struct sheet_lines lines = {.axis = axis, .count = lattice->lines[axis]};

    lines.count = lines.count < SHEET_LINES_MAX ? lines.count : SHEET_LINES_MAX;
    for (int i = 0; i < lines.count; i++)
        lines.at[i] = lattice_gaps_plane(&lattice->gaps[axis], i + 0.5);
    for (size_t i = 0; i < lattice->count; i++)
        if (lattice->nodes[i].at[axis] < lines.count)
            lines.held[lattice->nodes[i].at[axis]] = true;
    return lines;
}

int sheet_lines_at(const struct sheet_lines *lines, double at)
{
    for (int i = 0; i < lines->count; i++)
        if (fabs(lines->at[i] - at) < SHEET_LINES_OFF_MAX)
            return i;
    return -1;
}

bool sheet_lines_have_room(const struct sheet_lines *lines, double at, double width)
{
    for (int i = 0; i < lines->count; i++)
        if (lines->held[i] && fabs(lines->at[i] - at) < APART * width)
            return false;
    return true;
}

bool sheet_lines_has_neighbour(const struct sheet_lines *lines, double at)
{
    for (int i = 0; i < lines->count; i++)
        if (lines->held[i] && fabs(fabs(lines->at[i] - at) - 1) < NEXT_OFF)
            return true;
    return false;
}

static int by_size(const void *a, const void *b)
{
    double left = *(const double *)a, right = *(const double *)b;

    return (left > right) - (left < right);
}

/* The pitch: the median of the steps that are about as short as the shortest. */
static double pitch_of(const double *sorted, int count)
{
    double steps[SHEET_LINES_MAX + 1], shortest = INFINITY;
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

bool sheet_lines_insert(const struct sheet_lines *lines, double at, int *numbers,
                        struct lattice_gaps *gaps)
{
    double sorted[SHEET_LINES_MAX + 1];
    int order[SHEET_LINES_MAX + 1], count = 0;

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
