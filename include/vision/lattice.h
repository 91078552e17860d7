#ifndef WOAD_VISION_LATTICE_H
#define WOAD_VISION_LATTICE_H

#include "base/error.h"
#include "values/geometry.h"
#include "vision/regions.h"

#include <stddef.h>

/* What is counted along a lattice, so that one rule does for columns and rows. */
enum axis { AXIS_COLUMN, AXIS_ROW, AXES };

/* The other axis: along a column rows are counted, along a row columns. */
enum axis axis_crossing(enum axis axis);

/* One region with its place in a lattice: its column and row, from the lattice's own corner. */
struct lattice_node {
    int at[AXES];
    struct region region;
};

/*
 * Rows and columns of regions, before it is known whether they are card or
 * chart. `map` takes (column, row) to working pixels: (0.5, 0.5) is the middle
 * of the first cell, so homography_cell(map, row, column) is a cell's full
 * pitch. Rows run clockwise from columns, so a lattice is never mirrored.
 */
#define LATTICE_GAPS_MAX 12

/* Where groups of columns, or of rows, stand wider apart than the rest. */
struct lattice_gaps {
    int count;
    int before[LATTICE_GAPS_MAX];   /* the first column or row behind the gap, ascending */
    double extra[LATTICE_GAPS_MAX]; /* how much wider it is, in pitches */
};

struct lattice {
    struct lattice_node *nodes;
    size_t count;
    int lines[AXES];                /* how many columns, and rows */
    struct lattice_gaps gaps[AXES]; /* none as lattices are found; location joins groups */
    struct homography map;
};

struct lattices {
    struct lattice *items;
    size_t count;
    size_t capacity;
};

/**
 * Group regions into lattices, largest inked area first.
 *
 * Grows each lattice from a region and two of its neighbours outwards, by
 * where its nearest nodes say the next one lies; so it follows curl and
 * perspective, and steps over missing cells.
 *
 * Owns:    the caller releases `lattices` with lattices_release.
 * Returns: STATUS_OK, also when there is none; STATUS_MEMORY.
 */
MUST_USE enum status lattice_find_all(const struct regions *regions, struct lattices *lattices,
                                      struct error *error);

/**
 * Where a point, in columns and rows, lies on the lattice's plane, which the map takes to pixels:
 * the same, but for gaps between groups.
 */
double lattice_gaps_plane(const struct lattice_gaps *gaps, double at);
struct point lattice_plane(const struct lattice_gaps gaps[AXES], struct point at);

/** The middle of a node's place, in columns and rows. */
struct point lattice_node_middle(const struct lattice_node *node);

/**
 * Count a lattice's columns and rows afresh, as one sees them who turns with it: its nodes, gaps
 * and map.
 *
 * Shape: `turns` quarter turns clockwise, 0 to 3, that the sheet has been given.
 */
void lattice_turn(struct lattice *lattice, int turns);

/** Where a place of a lattice turned by lattice_turn lies in the lattice before that. */
void lattice_turn_back(const int lines[AXES], int turns, int at[AXES]);

/**
 * Fit a lattice's map to its nodes, robustly.
 *
 * Returns: STATUS_OK; STATUS_NOT_FOUND if no plane fits them; STATUS_MEMORY.
 */
MUST_USE enum status lattice_fit(struct lattice *lattice, struct error *error);

void lattices_release(struct lattices *lattices);

#endif
