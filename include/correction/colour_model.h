#ifndef WOAD_CORRECTION_COLOUR_MODEL_H
#define WOAD_CORRECTION_COLOUR_MODEL_H

#include "values/colour.h"

/*
 * From scene-linear camera values to colour: XYZ as a weighted sum of terms of
 * the camera's values. The terms past the third vanish on greys, and a ridge
 * or what was learnt of cameras holds them, so that few patches fix a model.
 */
#define COLOUR_TERMS_MAX 14

enum colour_form {
    COLOUR_MATRIX,
    COLOUR_MATRIX_OFFSET,
    COLOUR_ROOT_2, /* root-polynomials: Finlayson, Mackiewicz and Hurlbert 2015 */
    COLOUR_ROOT_3,
    COLOUR_LEARNT, /* a root-polynomial 3 held near the usual camera's: correction/colour_prior.h */
    COLOUR_BLEND,  /* a sum of shares of the others */
    COLOUR_FORMS
};

struct colour_model {
    enum colour_form form;
    enum colour_form mostly; /* of a blend: the form that has the largest share in it */
    double ridge;
    double scale[3]; /* camera values of the perfect white: what the model divides by */
    double coefficient[COLOUR_TERMS_MAX][3];
};

/** Its form in words; a blend goes by the form with the largest share. */
const char *colour_model_name(const struct colour_model *model);

/* --- its terms, for fitting --- */

int colour_model_terms(enum colour_form form);

/** The terms of the camera's values; the coefficients are not read. */
void colour_model_evaluate(const struct colour_model *model, struct rgb scene_linear,
                           double *terms);

/** XYZ as the sum of terms, weighted by the coefficients. */
struct xyz colour_model_sum(const struct colour_model *model, const double *terms);

/** Add a share of a model to a blend of the same scale. */
void colour_model_blend(const struct colour_model *model, double share, struct colour_model *blend);

/* --- applying it --- */

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
