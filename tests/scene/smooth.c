#include "smooth.h"

#include "basics.h"

#include <math.h>

#include <gsl/gsl_linalg.h>

enum { UNKNOWNS = BANDS + 3, ROUNDS_MAX = 60 };

/* Newton's method on the Lagrangian: bands on the logit scale, then 3 multipliers. */
struct newton {
    gsl_matrix *matrix;
    gsl_vector *rest, *step;
    gsl_permutation *order;
    double logit[BANDS];
    double multiplier[3];
};

static void add_roughness(struct newton *newton, const struct spectrum *prior)
{
    for (int i = 0; i + 1 < BANDS; i++) {
        size_t low = (size_t)i, high = low + 1;
        double slope = newton->logit[high] - prior->at[high] - newton->logit[low] + prior->at[low];

        *gsl_matrix_ptr(newton->matrix, low, low) += 1.0;
        *gsl_matrix_ptr(newton->matrix, high, high) += 1.0;
        *gsl_matrix_ptr(newton->matrix, low, high) -= 1.0;
        *gsl_matrix_ptr(newton->matrix, high, low) -= 1.0;
        *gsl_vector_ptr(newton->rest, low) -= slope;
        *gsl_vector_ptr(newton->rest, high) += slope;
    }
}

static void add_constraints(struct newton *newton, const struct spectrum weight[3],
                            const double xyz[3])
{
    for (size_t k = 0; k < 3; k++)
        *gsl_vector_ptr(newton->rest, BANDS + k) = -xyz[k];
    for (size_t i = 0; i < BANDS; i++) {
        double value = 1.0 / (1.0 + exp(-newton->logit[i]));
        double first = value * (1.0 - value);
        double second = first * (1.0 - 2.0 * value);

        for (size_t k = 0; k < 3; k++) {
            double pull = newton->multiplier[k] * weight[k].at[i];

            *gsl_vector_ptr(newton->rest, i) += pull * first;
            *gsl_vector_ptr(newton->rest, BANDS + k) += weight[k].at[i] * value;
            *gsl_matrix_ptr(newton->matrix, i, i) += pull * second;
            gsl_matrix_set(newton->matrix, i, BANDS + k, weight[k].at[i] * first);
            gsl_matrix_set(newton->matrix, BANDS + k, i, weight[k].at[i] * first);
        }
    }
}

/* One step; the largest change of a logit. */
static double newton_step(struct newton *newton)
{
    double largest = 0.0;
    int sign;

    gsl_linalg_LU_decomp(newton->matrix, newton->order, &sign);
    gsl_linalg_LU_solve(newton->matrix, newton->order, newton->rest, newton->step);
    for (size_t i = 0; i < BANDS; i++)
        largest = fmax(largest, fabs(gsl_vector_get(newton->step, i)));
    for (size_t i = 0; i < BANDS; i++)
        newton->logit[i] -= gsl_vector_get(newton->step, i) * fmin(1.0, 2.0 / largest);
    for (size_t k = 0; k < 3; k++)
        newton->multiplier[k] -= gsl_vector_get(newton->step, BANDS + k) * fmin(1.0, 2.0 / largest);
    return largest;
}

static void solve(struct newton *newton, const struct observer *observer, const double xyz[3],
                  const struct spectrum *prior)
{
    double largest = 1.0;

    for (int round = 0; round < ROUNDS_MAX && largest > 1e-11; round++) {
        gsl_matrix_set_zero(newton->matrix);
        gsl_vector_set_zero(newton->rest);
        add_roughness(newton, prior);
        add_constraints(newton, observer->d50_weight, xyz);
        largest = newton_step(newton);
    }
    if (!(largest < 1e-6))
        fail("no reflectance found for X %.4f Y %.4f Z %.4f", xyz[0], xyz[1], xyz[2]);
}

struct spectrum smooth_reflectance(const struct observer *observer, const double lab[3],
                                   const struct spectrum *prior)
{
    struct newton newton = {gsl_matrix_calloc(UNKNOWNS, UNKNOWNS),
                            gsl_vector_calloc(UNKNOWNS),
                            gsl_vector_calloc(UNKNOWNS),
                            gsl_permutation_calloc(UNKNOWNS),
                            {0.0},
                            {0.0}};
    struct spectrum reflectance;
    double xyz[3];

    observer_xyz_from_lab(observer, lab, xyz);
    for (int i = 0; i < BANDS; i++)
        newton.logit[i] = log(xyz[1] / (1.0 - xyz[1]));
    solve(&newton, observer, xyz, prior);
    for (int i = 0; i < BANDS; i++)
        reflectance.at[i] = 1.0 / (1.0 + exp(-newton.logit[i]));
    gsl_matrix_free(newton.matrix);
    gsl_vector_free(newton.rest);
    gsl_vector_free(newton.step);
    gsl_permutation_free(newton.order);
    return reflectance;
}
