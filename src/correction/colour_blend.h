#ifndef WOAD_CORRECTION_COLOUR_BLEND_H
#define WOAD_CORRECTION_COLOUR_BLEND_H

#include "colour_fit.h"

/**
 * Fit every form of model that so many patches allow, and blend them.
 *
 * A form's share falls with its leave-one-out error. The learnt one has most of it unless the
 * others' errors are clearly smaller, or its own is large: then the camera or the light is an
 * unusual one. Between two that do alike a choice would be chance, and the next photo's another.
 *
 * Shape:   `model` comes in with its scale set; its form will be COLOUR_BLEND.
 * Returns: as colour_fit.
 */
MUST_USE enum status colour_blend_fit(const struct colour_patch *patches, int count,
                                      struct colour_model *model, struct colour_check *check,
                                      struct error *error);

#endif
