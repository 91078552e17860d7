#ifndef WOAD_LOCATION_CELL_BOX_H
#define WOAD_LOCATION_CELL_BOX_H

#include "base/error.h"
#include "warp.h"
#include "vision/lattice.h"

#include <stdbool.h>

/* A cell's box in lattice coordinates: its middle and half its width and height. */
struct cell_box {
    struct point middle;
    double half[AXES];
};

/** A region's box, from its moments. */
struct cell_box cell_box_of_node(const struct warp *warp, const struct lattice_node *node);

/**
 * The usual box of a cell, about (0, 0): the median of all that were seen.
 *
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status cell_box_usual(const struct lattice *lattice, const struct warp *warp,
                                    struct cell_box *usual, struct error *error);

/** Whether a box is of about the usual size. */
bool cell_box_is_usual(const struct cell_box *box, const struct cell_box *usual);

/** The box's outline in the photo. */
struct quad cell_box_outline(const struct warp *warp, const struct cell_box *box);

#endif
