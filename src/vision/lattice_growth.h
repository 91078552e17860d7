#ifndef WOAD_VISION_LATTICE_GROWTH_H
#define WOAD_VISION_LATTICE_GROWTH_H

#include "vision/lattice.h"

#include <stdbool.h>

/* How a lattice grows from one region and two steps. */

#define LATTICE_TOLERANCE 0.22 /* of the shorter step: how far from its place a region may lie */
#define LATTICE_STEP_MAX 3.5   /* of a region's side: the longest step to a neighbour */
#define LATTICE_STEP_MIN 0.5   /* nearer, two regions overlap; cells may be wider than high */
#define LATTICE_LIKE_AREA 2.4

struct lattice_basis {
    size_t seed;    /* a region */
    struct point u; /* step along the columns */
    struct point v; /* step along the rows, clockwise of u */
};

bool lattice_like_size(const struct region *a, const struct region *b);

/**
 * The region nearest to a place, of a size like another's.
 *
 * Shape:   `regions` sorted by x.
 * Returns: its index; regions->count if none lies within `tolerance` pixels.
 */
size_t lattice_nearest(const struct regions *regions, struct point at, const struct region *like,
                       double tolerance);

/**
 * Grow a lattice from a basis as far as regions reach.
 *
 * Owns:    the caller frees lattice->nodes.
 * Returns: STATUS_OK, with lattice->count 0 if the regions form no lattice; STATUS_MEMORY.
 */
MUST_USE enum status lattice_grow(const struct regions *regions, const struct lattice_basis *basis,
                                  struct lattice *lattice, struct error *error);

#endif
