#include "values/interval.h"

#include "values/linear.h"

#include <gsl/gsl_cdf.h>

#include <math.h>

#define TAIL 0.025
#define DEVIATIONS 1.959963984540054 /* of a normal that leave TAIL on a side */
#define BISECTIONS 40

/* --- the interval --------------------------------------------------------------------------- */

/* How errors of the covariance given lengthen a difference. */
struct spread {
    double along;     /* variance in the direction of the difference */
    double total;     /* the sum of the variances in all directions */
    double squares;   /* the sum of their squares */
    double deviation; /* the standard deviation in the worst direction */
};

/* Delta E 2000 is no metric: the means of the two ends' serve for what lies between. */
static void mean_metric(struct lab a, struct lab b, double metric[9])
{
    double other[9];

    colour_metric(a, metric);
    colour_metric(b, other);
    for (int i = 0; i < 9; i++)
        metric[i] = (metric[i] + other[i]) / 2;
}

static double trace(const double m[9])
{
    return m[0] + m[4] + m[8];
}

static struct spread spread_of(struct lab a, struct lab b, const double covariance[9])
{
    const double difference[3] = {a.L - b.L, a.a - b.a, a.b - b.b};
    double metric[9], product[9], square[9], towards[3], carried[3];
    double length = 0, along = 0;
    struct spread spread;

    mean_metric(a, b, metric);
    linear_multiply_3x3(metric, covariance, product);
    linear_multiply_3x3(product, product, square);
    linear_apply_3x3(metric, difference, towards);
    linear_apply_3x3(covariance, towards, carried);
    for (int i = 0; i < 3; i++) {
        length += difference[i] * towards[i];
        along += towards[i] * carried[i];
    }
    spread.total = fmax(trace(product), 0);
    spread.squares = fmax(trace(square), 0);
    spread.deviation = sqrt(sqrt(spread.squares));
    spread.along =
        length > 1e-9 ? fmin(fmax(along / length, 0), spread.total) : sqrt(spread.squares);
    return spread;
}

/* The length that a measured difference passes with the probability TAIL, given the true one. */
static double longest(const struct spread *spread, double truth)
{
    double mean = truth * truth + spread->total;
    double variance = 4 * truth * truth * spread->along + 2 * spread->squares;

    return sqrt(gsl_cdf_gamma_Qinv(TAIL, mean * mean / variance, variance / mean));
}

static double lower_bound(const struct spread *spread, double measured)
{
    double low = 0, high = measured;

    if (longest(spread, 0) >= measured)
        return 0;
    for (int i = 0; i < BISECTIONS && high - low > 1e-4; i++) {
        double middle = (low + high) / 2;

        if (longest(spread, middle) < measured)
            low = middle;
        else
            high = middle;
    }
    return low;
}

struct interval interval_of_difference(struct lab a, struct lab b, const double covariance[9])
{
    double measured = colour_delta_e_2000(a, b);
    struct spread spread = spread_of(a, b, covariance);

    if (!(spread.squares > 0 && spread.total > 0))
        return (struct interval){measured, measured, measured};
    /* Near nothing the direction is chance, and the worst one stands for it. */
    if (measured < 2 * spread.deviation)
        spread.along = spread.deviation * spread.deviation;
    return (struct interval){measured, lower_bound(&spread, measured),
                             measured + DEVIATIONS * sqrt(spread.along)};
}

/* --- the floor ------------------------------------------------------------------------------ */

/* The stretching of a* lengthens a chroma by 6.4 at most, near 17. */
#define STRETCH_MAX 6.5
#define ROTATION_LEAVES 0.1339745962155614 /* 1 - sin 60 degrees */

double interval_floor(struct lab a, struct lab b)
{
    double dL = a.L - b.L, da = a.a - b.a, db = a.b - b.b;
    double off = (a.L + b.L) / 2 - 50;
    double SL = 1 + 0.015 * off * off / sqrt(20 + off * off);
    double chroma = (sqrt(a.a * a.a + a.b * a.b) + sqrt(b.a * b.a + b.b * b.b)) / 2;
    double SC = 1 + 0.045 * (chroma + STRETCH_MAX);

    return sqrt(dL * dL / (SL * SL) + ROTATION_LEAVES * (da * da + db * db) / (SC * SC));
}
