#ifndef WOAD_VALUES_IMAGE_H
#define WOAD_VALUES_IMAGE_H

#include "base/error.h"

#include <stddef.h>
#include <stdint.h>

#define IMAGE_CHANNELS 3
#define IMAGE_SAMPLE_MAX 65535

/*
 * A picture held in memory: interleaved RGB, 16 bits a sample, as encoded in
 * the file (8-bit samples times 257). A zeroed struct is no picture.
 */
struct image {
    int width_px;
    int height_px;
    uint16_t *samples;
};

/**
 * Allocate a black picture.
 *
 * Owns:    the caller releases it with image_release.
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status image_create(int width_px, int height_px, struct image *image,
                                  struct error *error);

void image_release(struct image *image);

/**
 * Make a smaller copy: each pixel the mean of a square of `factor` x `factor`.
 *
 * Owns:    the caller releases `smaller`; a rest at the right and lower rim is dropped.
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status image_shrink(const struct image *image, int factor, struct image *smaller,
                                  struct error *error);

/** The three samples of one pixel, x and y from 0. */
static inline uint16_t *image_at(const struct image *image, int x, int y)
{
    return image->samples + ((size_t)y * (size_t)image->width_px + (size_t)x) * IMAGE_CHANNELS;
}

#endif
