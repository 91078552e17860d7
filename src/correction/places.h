#ifndef WOAD_CORRECTION_PLACES_H
#define WOAD_CORRECTION_PLACES_H

#include "base/error.h"
#include "light.h"
#include "tone.h"
#include "files/photo.h"

/*
 * Places in the colour table: cube roots of scene-linear values over the
 * table's end. Dividing by the light is then a multiplication, so that a
 * photo's samples become places by one look-up and one product.
 */

/**
 * The places of all encoded samples, in equal light.
 *
 * Shape:   `top` the scene-linear values at the table's end; the result is 3 x
 *          65536, a channel after the other.
 * Owns:    the caller frees the array.
 */
MUST_USE float *places_of_samples(const struct tone *tone, const struct photo *photo,
                                  const double top[3], struct error *error);

/** Turn one row of samples into places, 65535 the table's end, dividing by the light. */
void places_fill_row(const float *places, const struct light_field *light,
                     const struct image *image, int y);

#endif
