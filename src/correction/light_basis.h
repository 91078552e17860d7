#ifndef WOAD_CORRECTION_LIGHT_BASIS_H
#define WOAD_CORRECTION_LIGHT_BASIS_H

#include "light.h"

/* The terms of the light field, and what is held of them beforehand. */

#define LIGHT_ROW_MAX (2 * (10 + LIGHT_SWERVES))

#define LIGHT_SHADOW_DEPTH 0.3 /* what a shadow usually takes, of the logarithm of light */

/* One equation in the field's unknowns; all others have no part in it. */
struct light_row {
    int unknown[LIGHT_ROW_MAX];
    double factor[LIGHT_ROW_MAX];
    int count;
};

/** A place in the field's own measure: from its middle, half its longer side 1. */
struct point light_own_place(const struct light_field *field, struct point at);

/** How far past a shadow's edge a place in the field's own measure lies, from 0 beside it to 1
 * within. */
double light_shadow_depth(const struct light_shadow *shadow, struct point at);

/** The field at a place: 9 splines and the swerve of the whole. */
struct light_row light_row_of_field(const struct light_field *field, struct point at);

/** The field at a place less the field at another. */
struct light_row light_row_between(const struct light_field *field, struct point at,
                                   struct point from);

/** All that makes up a sample of a surface: splines, its own level, its swerve. */
struct light_row light_row_of_surface(const struct light_field *field, struct point at,
                                      enum light_surface surface);

/** Add weight * row * row' to the lower triangle of a matrix of LIGHT_UNKNOWNS squared. */
void light_row_add(const struct light_row *row, double weight, double *matrix);

/**
 * Fill a matrix with the prior's precisions.
 *
 * Units:   `share` of a level's usual changes that is usual here; `bend` the
 *          standard deviation of second differences between splines.
 */
void light_prior(const struct light_field *field, struct point centre, double share, double bend,
                 double *matrix);

#endif
