#include "leftover.h"

#include "likeness.h"

#include <math.h>

#define APART 0.5     /* pitches: nearer sightings are of one cell */
#define ASKEW_MAX 0.2 /* pitches by which a cell may lie out of line */
#define KNOWN_MAX 16  /* more need not be counted */

static bool is_inside(const struct likeness *likeness, struct point plane)
{
    return plane.x > 0 && plane.y > 0 && plane.x < likeness->far.x && plane.y < likeness->far.y;
}

static bool is_known(const struct point *known, int count, struct point plane)
{
    for (int i = 0; i < count; i++)
        if (point_distance(known[i], plane) < APART)
            return true;
    return false;
}

static bool on_line(const struct lattice_gaps *gaps, int lines, double plane)
{
    for (int i = 0; i < lines; i++)
        if (fabs(lattice_gaps_plane(gaps, i + 0.5) - plane) < ASKEW_MAX)
            return true;
    return false;
}

/* Whether a region beside the chart goes on with it: in line with its rows or columns, and on the
 * same sheet of paper. */
static bool goes_on(const struct likeness *likeness, struct point plane, struct point at)
{
    const struct lattice *lattice = likeness->lattice;

    return (on_line(&lattice->gaps[AXIS_COLUMN], lattice->lines[AXIS_COLUMN], plane.x) ||
            on_line(&lattice->gaps[AXIS_ROW], lattice->lines[AXIS_ROW], plane.y)) &&
           likeness_paper_between(likeness, likeness_nearest(likeness, at)->region.centre, at) ==
               PAPER_GOES_ON;
}

/* The inked places beside the chart, on its four sides: cells that touch make no regions. */
static int inked_around(const struct likeness *likeness)
{
    int rows = likeness->lattice->lines[AXIS_ROW], columns = likeness->lattice->lines[AXIS_COLUMN];
    int count = 0;

    for (int row = 0; row < rows; row++)
        count += likeness_of_place(likeness, -1, row) + likeness_of_place(likeness, columns, row);
    for (int column = 0; column < columns; column++)
        count +=
            likeness_of_place(likeness, column, -1) + likeness_of_place(likeness, column, rows);
    return count;
}

enum status leftover_count(const struct photo *photo, const struct regions *regions,
                           const struct card_pose cards[2], const struct lattice *lattice,
                           int *count, struct error *error)
{
    struct likeness likeness;
    struct point known[KNOWN_MAX], plane;
    enum status status = likeness_of_lattice(photo, cards, lattice, &likeness, error);

    *count = 0;
    for (size_t i = 0; !status && i < regions->count && *count < KNOWN_MAX; i++)
        if (likeness_of_region(&likeness, &regions->items[i], &plane) &&
            !is_inside(&likeness, plane) && !is_known(known, *count, plane) &&
            goes_on(&likeness, plane, regions->items[i].centre))
            known[(*count)++] = plane;
    if (!status && likeness.touching) {
        int inked = inked_around(&likeness);

        *count = inked > *count ? inked : *count;
    }
    return status;
}
