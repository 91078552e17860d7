#ifndef WOAD_OUTPUT_CANVAS_PIXEL_H
#define WOAD_OUTPUT_CANVAS_PIXEL_H

/* Private to src/output/canvas.c. */

#include "values/geometry.h"
#include "values/image.h"

#include <stdint.h>

/**
 * Scale an image, one pixel at a time: the mean of `side` x `side` points of
 * the image in a square of `step` pixels from `corner`.
 *
 * Returns: 0xRRGGBB.
 */
uint32_t canvas_pixel(const struct image *image, struct point corner, double step, int side);

#endif
