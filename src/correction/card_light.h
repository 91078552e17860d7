#ifndef WOAD_CORRECTION_CARD_LIGHT_H
#define WOAD_CORRECTION_CARD_LIGHT_H

#include "parts.h"

/*
 * What the card tells of the light. A patch that comes out too light may lie in more light, or the
 * camera may make such colours lighter: both are fitted shared, each as far as it was unsure
 * before.
 */

/**
 * Say how the patches move shared, for colour_fit, and how far the light has moved them already.
 *
 * Shape:   `shared` 3 count x 3 count.
 */
void card_light_write(struct correction *correction, double *shared);

/**
 * Move the light as the fitted colours tell.
 *
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status card_light_take(struct correction *correction, struct error *error);

#endif
