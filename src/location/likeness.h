#ifndef WOAD_LOCATION_LIKENESS_H
#define WOAD_LOCATION_LIKENESS_H

#include "base/error.h"
#include "files/photo.h"
#include "cell_box.h"
#include "location/pose.h"
#include "warp.h"
#include "vision/lattice.h"
#include "vision/regions.h"

#include <stdbool.h>

/* What a chart's cells are like, to hold other regions beside and between them against. */
struct likeness {
    const struct photo *photo;
    const struct card_pose *cards; /* two; the second may be zeroed */
    const struct lattice *lattice;
    struct homography inverse; /* of the lattice's map */
    struct warp warp;
    struct cell_box usual;
    struct point far; /* the chart's end on its plane */
    bool touching;    /* its cells leave no paper between them */
};

/* How far outside the chart, in pitches, what looks like its cells may belong to it. */
#define LIKENESS_REACH 2.1

/**
 * Learn what the cells of a lattice are like.
 *
 * Owns:    `likeness` borrows all it is given, and nothing has to be released.
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status likeness_of_lattice(const struct photo *photo, const struct card_pose cards[2],
                                         const struct lattice *lattice, struct likeness *likeness,
                                         struct error *error);

/**
 * Whether a region looks like one more cell of the chart: of its size, on its
 * paper, off the cards, in the chart or not far beside it.
 *
 * Shape: `plane` gets its place on the lattice's plane, as its nearest node tells it.
 */
bool likeness_of_region(const struct likeness *likeness, const struct region *region,
                        struct point *plane);

/** Whether a chart whose cells touch goes on at a place beside it: ink, and no paper before it. */
bool likeness_of_place(const struct likeness *likeness, int column, int row);

/* How sure it is that the chart's paper goes on between two cells: grey things look like paper in a
 * shadow. */
enum paper_between { PAPER_PARTED, PAPER_IN_SHADOW, PAPER_GOES_ON };

/**
 * Whether the chart's paper goes on from one place of the photo to another.
 *
 * Shape: `from` and `to` are centres of cells.
 */
enum paper_between likeness_paper_between(const struct likeness *likeness, struct point from,
                                          struct point to);

/** The node nearest to a place of the photo. */
const struct lattice_node *likeness_nearest(const struct likeness *likeness, struct point at);

#endif
