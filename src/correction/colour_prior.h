#ifndef WOAD_CORRECTION_COLOUR_PRIOR_H
#define WOAD_CORRECTION_COLOUR_PRIOR_H

#include "files/card.h"

/*
 * What is known of a colour model before the card is looked at: how the
 * coefficients of a root-polynomial 3 vary from camera to camera and light to
 * light, and how far a patch's own pigment takes it from what the model makes
 * of inks. Learnt by tests/accuracy/learn_prior.c from the card's published
 * spectra and simulated cameras, lights and inks; the rendered photos of the
 * accuracy table have others, and a card of other pigments.
 */
#define COLOUR_PRIOR_TERMS 13
#define COLOUR_PRIOR_SIZE (3 * COLOUR_PRIOR_TERMS)

struct colour_prior {
    /* The usual coefficients, XYZ by term, of a model whose scale is the perfect white's. */
    double mean[COLOUR_PRIOR_SIZE];
    /* A factor F of their precision, row by row from its diagonal on: F'F = 1 / covariance. */
    double factor[COLOUR_PRIOR_SIZE * (COLOUR_PRIOR_SIZE + 1) / 2];
    /* The same of each patch's deviation in Lab: upper triangles of 3 x 3. */
    double patch[CARD_PATCHES][6];
};

extern const struct colour_prior colour_prior;

#endif
