#ifndef WOAD_CORRECTION_COLOUR_FIT_H
#define WOAD_CORRECTION_COLOUR_FIT_H

#include "base/error.h"
#include "correction/colour_model.h"

/* Fitting colour models to the card, so that delta E 2000 is least. */
#define COLOUR_PATCHES_MAX 24
#define COLOUR_PATCHES_MIN 12

/* One patch to fit to. */
struct colour_patch {
    struct rgb scene_linear;
    struct lab lab;
    double weight; /* of the squared residual; 0 leaves it out but still predicts it */
    int index;     /* on the card, where the learnt model looks up how far its pigment strays */
};

/* How a fit does on each patch: errors as Lab differences, measured minus true. */
struct colour_check {
    struct lab residual[COLOUR_PATCHES_MAX];
    struct lab left_out[COLOUR_PATCHES_MAX]; /* by a fit without the patch */
    double left_out_mean;                    /* weighted mean delta E 2000 */
};

/**
 * Camera values of the perfect white, from the neutrals among the patches: a model's scale, which
 * makes its fit free of exposure. Near greys red, green and blue go about as X, Y and Z, so that a
 * white patch's cast does not pass for the camera's.
 */
void colour_fit_scale(const struct colour_patch *patches, int count, double scale[3]);

/**
 * Fit one form of model so that the sum of squared delta E 2000 is least.
 *
 * Shape:   `model` comes in with form, ridge and scale set.
 * Returns: STATUS_OK; STATUS_NOT_FOUND if the patches do not fix the model;
 *          STATUS_MEMORY.
 */
MUST_USE enum status colour_fit(const struct colour_patch *patches, int count,
                                struct colour_model *model, struct colour_check *check,
                                struct error *error);

/** What a model leaves of each patch, and the mean of `left_out`, which is given. */
void colour_fit_check(const struct colour_patch *patches, int count,
                      const struct colour_model *model, struct colour_check *check);

/** Weigh patches down that a fit without them misses by far more than the usual. */
void colour_fit_reweigh(const struct colour_check *check, struct colour_patch *patches, int count);

#endif
