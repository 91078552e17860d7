#ifndef WOAD_LOCATION_RECOGNITION_H
#define WOAD_LOCATION_RECOGNITION_H

#include "files/card.h"
#include "values/colour.h"

#include <stdbool.h>

#define RECOGNITION_NO_FIT                                                                         \
    1000.0 /* of a patch that was not seen, or of colours that fix no fit                          \
            */

/* How well colours read off a photo are those of the card, under an unknown light. */
struct recognition {
    double misfit; /* mean delta E (CIE 1976) of the rough fit, each patch's capped */
    double off[CARD_PATCHES_MAX]; /* each patch's delta E in that fit; huge where not seen */
};

/**
 * Fit the photo's colours to the card's by an affine map of cube roots, which
 * takes up the light, the exposure and most of a camera's curve.
 *
 * Robust: patches that do not fit (covered, glare) lose their weight.
 * Shape:   `rgb_linear` as many colours as the card has patches, in the card's order; `known` which
 * of them were seen.
 */
struct recognition recognition_fit(const struct rgb *rgb_linear, const bool *known,
                                   const struct card *card);

#endif
