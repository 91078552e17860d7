#ifndef WOAD_CORRECTION_LIGHT_PART_H
#define WOAD_CORRECTION_LIGHT_PART_H

#include "base/error.h"
#include "light_basis.h"

#include <stdbool.h>

/* One part of the field being fitted, level or tint; its arrays are one allocation. */
struct light_part {
    const struct light_scene *scene;
    const struct light_row *rows;
    size_t targets;  /* 1 for the level, 2 for the tint */
    bool card_aside; /* patches show where the card is, and no more */
    double *target;  /* count x targets */
    double *weight;
    double *scaled; /* residuals in their own standard deviations */
    double *sizes;  /* the same, for the median to reorder */
    size_t *beside; /* the sample of its kind next to each; its own number where there is none */
    double *prior;  /* precisions, square in the unknowns, the lower triangle */
    double *told;   /* what samples and paper add to them, as they are weighed */
    double *normal; /* both */
    double *wanted; /* targets x unknowns: the right side of the normal equations */
    double *right;  /* the same, and solved, the coefficients */
};

/**
 * Set up one part of a scene's light.
 *
 * Shape:   `rows` one a sample.
 * Owns:    the caller releases `part`; `scene` and `rows` are borrowed.
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status light_part_create(const struct light_scene *scene,
                                       const struct light_row *rows, size_t targets,
                                       struct light_part *part, struct error *error);

/**
 * Fit it robustly, as smooth as its samples make likely.
 *
 * Shape:   `coefficients` LIGHT_UNKNOWNS x targets; `covariance` of either target's.
 * Returns: STATUS_OK; STATUS_NOT_FOUND if its samples fix no light; STATUS_MEMORY.
 */
MUST_USE enum status light_part_fit(const struct light_field *field, struct light_part *part,
                                    double *coefficients, double *covariance, struct error *error);

/**
 * Fit it as smooth as is usual, with weights that no sample loses altogether.
 *
 * Shape:   `residual` one a sample, of the first target; `inverse` of the normal matrix.
 * Returns: STATUS_OK; STATUS_NOT_FOUND if its samples fix no light; STATUS_MEMORY.
 */
MUST_USE enum status light_part_settle(const struct light_field *field, struct light_part *part,
                                       double *residual, double *inverse, struct error *error);

void light_part_release(struct light_part *part);

#endif
