#ifndef WOAD_CORRECTION_LIGHT_SHADOW_H
#define WOAD_CORRECTION_LIGHT_SHADOW_H

#include "light_part.h"

/* The edge of a shadow, where the field is not smooth. */

/**
 * Look for the one edge that explains best what a smooth field leaves of the level.
 *
 * Shape:   `level` is set up but not fitted; it is left as fitted without a shadow.
 * Returns: STATUS_OK, with field->shadow.found false where none is likely enough;
 *          STATUS_NOT_FOUND or STATUS_MEMORY.
 */
MUST_USE enum status light_shadow_find(struct light_part *level, struct light_field *field,
                                       struct error *error);

#endif
