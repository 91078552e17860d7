#ifndef WOAD_CORRECTION_LIGHT_H
#define WOAD_CORRECTION_LIGHT_H

#include "base/error.h"
#include "values/colour.h"
#include "values/geometry.h"

#include <stddef.h>

/*
 * The light that falls on the scene, a smooth field: the logarithm of its
 * level, and of its tint (red and blue over green), each a polynomial of
 * degree 3 whose terms are held small unless the samples ask for them, so that
 * few or bunched samples give a simple field. Tint is held smaller than level,
 * for it changes less, and what stains the paper's samples stains their tint.
 */
#define LIGHT_TERMS 9 /* x, y, xx, xy, yy, xxx, xxy, xyy, yyy */

enum light_surface { LIGHT_PAPER, LIGHT_CARD, LIGHT_SURFACES };

struct light_sample {
    struct point at;
    enum light_surface surface;
    double log_ratio[3]; /* of what was seen to what the surface would give in equal light */
    double deviation;    /* standard deviation of log_ratio */
};

struct light_field {
    struct point centre; /* here the light is 1 */
    double unit_px;      /* one step of the polynomial's coordinates */
    struct point low;    /* the field is held constant outside this box */
    struct point high;
    double level[LIGHT_TERMS];
    double tint[LIGHT_TERMS][2];
    double level_covariance[LIGHT_TERMS * LIGHT_TERMS]; /* of the coefficients */
    double tint_covariance[LIGHT_TERMS * LIGHT_TERMS];  /* of either tint's coefficients */
};

/** The field that is 1 everywhere. */
struct light_field light_even(void);

/**
 * Fit the field to samples of surfaces, each even in itself and of unknown
 * level, robustly.
 *
 * Units:   `centre` working pixels; `unit_px` the size over which light may
 *          change markedly: about the width of the card.
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status light_fit(const struct light_sample *samples, size_t count,
                               struct point centre, double unit_px, struct light_field *field,
                               struct error *error);

/** The light at a place, 1 at the field's centre. */
struct rgb light_at(const struct light_field *field, struct point at);

/** The covariance (3 x 3, between channels) of the logarithm of the light at a place. */
void light_covariance(const struct light_field *field, struct point at, double covariance[9]);

#endif
