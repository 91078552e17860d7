#ifndef WOAD_VISION_COMPONENTS_H
#define WOAD_VISION_COMPONENTS_H

#include "base/error.h"
#include "edges.h"

#include <stddef.h>

/* A connected set of pixels without an edge, as sums over its pixels' indices. */
struct component {
    double count;
    double x, y;
    double xx, xy, yy;
};

struct components {
    struct component *items;
    size_t count;
};

/**
 * Find the 4-connected sets of pixels whose edge strength is at most `strength`.
 *
 * Owns:    the caller releases `components` with components_release.
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status components_find(const struct edges *edges, int strength,
                                     struct components *components, struct error *error);

void components_release(struct components *components);

#endif
