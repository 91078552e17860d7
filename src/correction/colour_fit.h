#ifndef WOAD_CORRECTION_COLOUR_FIT_H
#define WOAD_CORRECTION_COLOUR_FIT_H

#include "base/error.h"
#include "colour_prior.h"

#include <stdbool.h>

/*
 * Fitting the colour model to the card by Bayes' rule: what was learnt of
 * worlds is the prior, the patches are what was seen. How strong this photo's
 * look is, how far its surfaces stray and which world it comes from is weighed
 * by how likely each makes the patches.
 */
#define COLOUR_PATCHES_MAX 24
#define COLOUR_PATCHES_MIN 12

/* One patch to fit to. */
struct colour_patch {
    struct rgb scene_linear;
    struct lab lab;
    double weight; /* of the squared residual; 0 leaves it out but still predicts it */
    int index;     /* on the card */
};

/* How a fit does on each patch: errors as Lab differences, measured minus true. */
struct colour_check {
    struct lab residual[COLOUR_PATCHES_MAX];
    struct lab left_out[COLOUR_PATCHES_MAX]; /* by a fit without the patch */
    double left_out_mean;                    /* weighted mean delta E 2000 */
};

/* What the fit leaves open. */
struct colour_doubt {
    double covariance[COLOUR_UNKNOWNS * COLOUR_UNKNOWNS]; /* of the coefficients */
    double deviation;        /* of a surface from the model, in delta E 2000 an axis */
    enum colour_world world; /* the likeliest */
    double strength;         /* of its look, the usual one's 1 */
};

/**
 * Camera values of the perfect white, from the neutrals among the patches: a model's scale, which
 * makes its fit free of exposure.
 */
void colour_fit_scale(const struct colour_patch *patches, int count, double scale[3]);

/** The model of a kind of photo before anything is fitted: its matrix alone, at a scale of 1. */
struct colour_model colour_fit_start(bool raw);

/**
 * Fit the model.
 *
 * Shape:   `model` comes in from colour_fit_start, its scale set.
 * Returns: STATUS_OK; STATUS_NOT_FOUND if the patches make no sense in numbers; STATUS_MEMORY.
 * Source:  Bayesian linear regression, its scales by marginal likelihood: Rasmussen and Williams,
 *          Gaussian Processes for Machine Learning (2006), 2.1 and 5.4; leaving one out: 5.4.2.
 */
MUST_USE enum status colour_fit(const struct colour_patch *patches, int count,
                                struct colour_model *model, struct colour_check *check,
                                struct colour_doubt *doubt, struct error *error);

/** Weigh patches down that a fit without them misses by far more than the usual. */
void colour_fit_reweigh(const struct colour_check *check, struct colour_patch *patches, int count);

/** The covariance (Lab, 3 x 3) of the fitted model at a colour, and of a surface about it. */
void colour_fit_covariance(const struct colour_model *model, const struct colour_doubt *doubt,
                           struct lab lab, double covariance[9]);

#endif
