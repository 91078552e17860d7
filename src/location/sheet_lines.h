#ifndef WOAD_LOCATION_SHEET_LINES_H
#define WOAD_LOCATION_SHEET_LINES_H

#include "location/pose.h"
#include "vision/lattice.h"

#include <stdbool.h>

/* Where the columns, or the rows, of a sheet stand, and where one more may. */

#define SHEET_LINES_MAX (CHART_COLUMNS_MAX > CHART_ROWS_MAX ? CHART_COLUMNS_MAX : CHART_ROWS_MAX)

#define SHEET_LINES_OFF_MAX 0.17 /* pitches by which a cell may lie off its line */

/* The lines of one kind, columns or rows, by their middles on the lattice's plane. */
struct sheet_lines {
    enum axis axis;
    double at[SHEET_LINES_MAX];
    bool held[SHEET_LINES_MAX]; /* by a node at least */
    int count;
};

struct sheet_lines sheet_lines_of(const struct lattice *lattice, enum axis axis);

/** The line that a place stands on; -1 if it stands on none. */
int sheet_lines_at(const struct sheet_lines *lines, double at);

/** Whether a new line has room at a place: no cell, `width` pitches wide, lies over another. */
bool sheet_lines_have_room(const struct sheet_lines *lines, double at, double width);

/** Whether a line stands just one pitch beside another, as it should: one cell tells enough there.
 */
bool sheet_lines_has_neighbour(const struct sheet_lines *lines, double at);

/**
 * Put one more line among those a sheet has.
 *
 * Shape:   `numbers` gets what each old line and, last, the new one is called from now on, `gaps`
 *          where lines do not stand one pitch apart.
 * Returns: false if there are more gaps than a lattice can hold.
 */
bool sheet_lines_insert(const struct sheet_lines *lines, double at, int *numbers,
                        struct lattice_gaps *gaps);

#endif
