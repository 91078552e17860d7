#include "magnitude.h"

#include "values/linear.h"
#include "values/statistics.h"

#include <math.h>

#define TAIL 0.025 /* at each end of a 95 % interval */
#define HALVINGS 34
#define FREEDOM_MAX 1e6 /* more is as good as known */

/* What the length's distribution depends on. */
struct spread {
    double square; /* of the measured length */
    double trace, trace_of_square;
    double along; /* variance along the measured difference */
};

static double dot(const double a[3], const double b[3])
{
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}

/* An estimated covariance counts as a larger one. */
static double widening(double freedom)
{
    double limit;

    if (!(freedom < FREEDOM_MAX))
        return 1;
    limit = statistics_student_limit(1 - 2 * TAIL, fmax(freedom, 1)) /
            statistics_student_limit(1 - 2 * TAIL, FREEDOM_MAX);
    return limit * limit;
}

static struct spread spread_of(const struct magnitude *magnitude)
{
    double wide = widening(magnitude->freedom), carried[3];
    const double *v = magnitude->covariance;
    struct spread spread = {.square = dot(magnitude->difference, magnitude->difference)};

    linear_apply_3x3(v, magnitude->difference, carried);
    spread.trace = wide * (v[0] + v[4] + v[8]);
    for (int i = 0; i < 9; i++)
        spread.trace_of_square += wide * wide * v[i] * v[i];
    spread.along = spread.square > 0 ? wide * dot(magnitude->difference, carried) / spread.square
                                     : spread.trace / 3;
    return spread;
}

/* The chance to measure more than the measured length if the true one is `length`. */
static double beyond(const struct spread *spread, double length)
{
    double square = length * length;

    return statistics_gamma_beyond(spread->square, square + spread->trace,
                                   2 * spread->trace_of_square + 4 * square * spread->along);
}

/* The true length at which measuring more has a given chance; the chance grows with the length. */
static double length_at(const struct spread *spread, double chance)
{
    double low = 0, high = sqrt(spread->square) + 10 * sqrt(spread->trace) + 1e-9;

    if (beyond(spread, 0) >= chance)
        return 0;
    for (int i = 0; i < HALVINGS; i++) {
        double middle = (low + high) / 2;

        if (beyond(spread, middle) < chance)
            low = middle;
        else
            high = middle;
    }
    return (low + high) / 2;
}

void magnitude_interval(const struct magnitude *magnitude, double *low, double *high)
{
    struct spread spread = spread_of(magnitude);

    *low = length_at(&spread, TAIL);
    /* by luck two readings agree better than they can: that proves no less than their error */
    *high = fmax(length_at(&spread, 1 - TAIL), sqrt(spread.trace));
}

double magnitude_chance(const struct magnitude *magnitude)
{
    double inverse[9], carried[3], square;

    linear_invert_3x3(magnitude->covariance, inverse);
    linear_apply_3x3(inverse, magnitude->difference, carried);
    square = dot(magnitude->difference, carried);
    if (!(magnitude->freedom < FREEDOM_MAX))
        return statistics_chi_square_beyond(square, 3, 0);
    return statistics_hotelling_beyond(square, 3, magnitude->freedom, 0);
}
