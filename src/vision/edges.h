#ifndef WOAD_VISION_EDGES_H
#define WOAD_VISION_EDGES_H

#include "base/error.h"
#include "values/image.h"

#include <stdint.h>

/* How steep the picture is at each pixel: the largest step of any channel
 * across it, down or sideways, of 255. The rim counts as an edge. */
struct edges {
    int width_px;
    int height_px;
    uint8_t *strength;
};

/**
 * Measure the edge strength of every pixel.
 *
 * Owns:    the caller releases `edges` with edges_release.
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status edges_find(const struct image *image, struct edges *edges,
                                struct error *error);

void edges_release(struct edges *edges);

#endif
