#ifndef WOAD_CORRECTION_COLOUR_FIT_H
#define WOAD_CORRECTION_COLOUR_FIT_H

#include "base/error.h"
#include "colour_prior.h"
#include "files/card.h"

#include <stdbool.h>

/*
 * Fitting the colour model to the card by Bayes' rule: what was learnt of
 * worlds is the prior, the patches are what was seen. How strong this photo's
 * look is, how far its surfaces stray and which world it comes from is weighed
 * by how likely each makes the patches.
 */
#define COLOUR_PATCHES_MAX CARD_PATCHES_MAX
#define COLOUR_PATCHES_MIN 12

/* One patch to fit to. */
struct colour_patch {
    struct rgb scene_linear;
    struct lab lab;
    double weight; /* of the squared residual; 0 leaves it out but still predicts it */
    bool neutral;
    struct lab taken; /* what was added to it already of what moves patches together */
};

/* How a fit does on each patch: errors as Lab differences, measured minus true. */
struct colour_check {
    struct lab residual[COLOUR_PATCHES_MAX];
    struct lab left_out[COLOUR_PATCHES_MAX]; /* by a fit without the patch */
    double oddness[COLOUR_PATCHES_MAX];      /* of left_out, in its standard deviations an axis */
    double left_out_mean;                    /* weighted mean delta E 2000 */
};

/* What the fit leaves open. */
struct colour_doubt {
    double covariance[COLOUR_UNKNOWNS * COLOUR_UNKNOWNS]; /* of the coefficients */
    double deviation;        /* of a surface from the model, in delta E 2000 an axis */
    enum colour_world world; /* the likeliest */
    double strength;         /* of its look, the usual one's 1 */
};

/* What the patches say of what moves them together, in Lab: with its covariance C between a thing
 * and the patches, the thing's mean moves by C * along, and its covariance loses
 * C * precision * C'. */
struct colour_pull {
    double looseness; /* C's own covariance becomes so many times what it was, before that loss */
    double along[3 * COLOUR_PATCHES_MAX];
    double precision[9 * COLOUR_PATCHES_MAX * COLOUR_PATCHES_MAX]; /* rows x rows, packed */
};

struct colour_fitted {
    struct colour_model model;
    struct colour_check check;
    struct colour_doubt doubt;
    struct colour_pull pull;
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
 * Shape:   `fitted->model` comes in from colour_fit_start, its scale set; `together` NULL or
 *          3 count x 3 count, the covariance in Lab of what moves patches together.
 * Returns: STATUS_OK; STATUS_NOT_FOUND if the patches make no sense in numbers; STATUS_MEMORY.
 * Source:  Bayesian linear regression, its scales by marginal likelihood: Rasmussen and Williams,
 *          Gaussian Processes for Machine Learning (2006), 2.1 and 5.4; leaving one out: 5.4.2.
 */
MUST_USE enum status colour_fit(const struct colour_patch *patches, int count,
                                const double *together, struct colour_fitted *fitted,
                                struct error *error);

/** Weigh patches down that a fit without them misses by far more than the usual. */
void colour_fit_reweigh(const struct colour_check *check, struct colour_patch *patches, int count);

/** The covariance (Lab, 3 x 3) of the fitted model at a colour, and of a surface about it. */
void colour_fit_covariance(const struct colour_model *model, const struct colour_doubt *doubt,
                           struct lab lab, double covariance[9]);

#endif
