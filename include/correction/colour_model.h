#ifndef WOAD_CORRECTION_COLOUR_MODEL_H
#define WOAD_CORRECTION_COLOUR_MODEL_H

#include "base/error.h"
#include "values/colour.h"

/*
 * From scene-linear camera values to colour: XYZ as a weighted sum of terms of
 * the camera's values. The terms past the third vanish on greys, and a ridge
 * holds them small, so that every form shades into the plain matrix.
 */
#define COLOUR_TERMS_MAX 13
#define COLOUR_PATCHES_MAX 24
#define COLOUR_PATCHES_MIN 12

enum colour_form {
    COLOUR_MATRIX,
    COLOUR_MATRIX_OFFSET,
    COLOUR_ROOT_2, /* root-polynomials: Finlayson, Mackiewicz and Hurlbert 2015 */
    COLOUR_ROOT_3,
    COLOUR_FORMS
};

struct colour_model {
    enum colour_form form;
    double ridge;
    double scale[3]; /* camera values of the perfect white: what the model divides by */
    double coefficient[COLOUR_TERMS_MAX][3];
};

/* One patch to fit to. */
struct colour_patch {
    struct rgb scene_linear;
    struct lab lab;
    double weight; /* of the squared residual; 0 leaves it out but still predicts it */
};

/* How a fit does on each patch: errors as Lab differences, measured minus true. */
struct colour_check {
    struct lab residual[COLOUR_PATCHES_MAX];
    struct lab left_out[COLOUR_PATCHES_MAX]; /* by a fit without the patch */
    double left_out_mean;                    /* weighted mean delta E 2000 */
};

const char *colour_form_name(enum colour_form form);

/**
 * Fit one form of model so that the sum of squared delta E 2000 is least.
 *
 * Shape:   `model` comes in with form, ridge and scale set.
 * Returns: STATUS_OK; STATUS_NOT_FOUND if the patches do not fix the model;
 *          STATUS_MEMORY.
 */
MUST_USE enum status colour_model_fit(const struct colour_patch *patches, int count,
                                      struct colour_model *model, struct colour_check *check,
                                      struct error *error);

/**
 * Fit every candidate that so many patches allow and keep the one with the
 * least leave-one-out error.
 */
MUST_USE enum status colour_model_choose(const struct colour_patch *patches, int count,
                                         struct colour_model *model, struct colour_check *check,
                                         struct error *error);

/** Weigh patches down that a fit without them misses by far more than the usual. */
void colour_model_reweigh(const struct colour_check *check, struct colour_patch *patches,
                          int count);

struct lab colour_model_lab(const struct colour_model *model, struct rgb scene_linear);

/* A model written out: XYZ = offset + sum of coefficient * r^e0 * g^e1 * b^e2, with r, g, b the
 * camera's values over the model's scale. */
struct colour_expansion {
    int terms;
    double exponent[COLOUR_TERMS_MAX][3];
    double coefficient[COLOUR_TERMS_MAX][3];
    double offset[3];
};

struct colour_expansion colour_model_expand(const struct colour_model *model);

/** The camera values that the model takes to a colour, by Newton's method. */
struct rgb colour_model_inverse(const struct colour_model *model, struct lab lab);

/** A factor W with W'W = the metric of delta E 2000 at a colour: |W d| is the delta E of d. */
void colour_whitener(struct lab at, double whitener[9]);

#endif
