#ifndef WOAD_CORRECTION_COLOUR_PRIOR_H
#define WOAD_CORRECTION_COLOUR_PRIOR_H

#include "correction/colour_model.h"

/*
 * What is known of a colour model before the card is looked at: how the
 * polynomial's coefficients vary together from camera to camera, light to light
 * and look to look, and how far surfaces stray from any such model. It is about
 * colours, not about patches, so it holds for any card's; learnt by
 * tests/accuracy/learn_prior.c from simulated worlds; no photo that judges the
 * program had a part in it.
 */
#define COLOUR_UNKNOWNS (3 * COLOUR_TERMS) /* L*, a* and b* by term */

enum colour_world {
    COLOUR_PLAIN, /* sensor and matrix */
    COLOUR_LOOK,  /* and what cameras do to a picture after them */
    COLOUR_RAW,   /* the sensor alone */
    COLOUR_WORLDS
};

struct colour_prior {
    double matrix[9]; /* a model's */
    double mean[COLOUR_UNKNOWNS];
    /* A lower triangular factor of the covariance, row by row: R R' is the covariance. */
    double root[COLOUR_UNKNOWNS * (COLOUR_UNKNOWNS + 1) / 2];
    double deviation; /* of a surface, in delta E 2000 an axis */
};

extern const struct colour_prior colour_priors[COLOUR_WORLDS];

#endif
