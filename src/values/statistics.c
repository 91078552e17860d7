#include "values/statistics.h"

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_sf_psi.h>
#include <gsl/gsl_randist.h>
#include <gsl/gsl_sort.h>
#include <gsl/gsl_statistics_double.h>

#include <math.h>
#include <stdbool.h>

double statistics_mean(const double *values, size_t count)
{
    return count ? gsl_stats_mean(values, 1, count) : 0.0;
}

static double middle_of_three(double a, double b, double c)
{
    return fmax(fmin(a, b), fmin(fmax(a, b), c));
}

/* Move the values below the pivot, or up to it, to the front. Returns how many; without a branch
 * that the values decide, which no processor could foresee. */
static size_t part(double *values, size_t count, double pivot, bool with_equals)
{
    size_t front = 0;

    for (size_t i = 0; i < count; i++) {
        double value = values[i];

        values[i] = values[front];
        values[front] = value;
        front += with_equals ? value <= pivot : value < pivot;
    }
    return front;
}

/* The value that `rank` others stand before in order; those are in front of it in the end. */
static double select_rank(double *values, size_t count, size_t rank)
{
    while (count > 1) {
        double pivot = middle_of_three(values[0], values[count / 2], values[count - 1]);
        size_t below = part(values, count, pivot, false);
        size_t up_to;

        if (rank < below) {
            count = below;
            continue;
        }
        up_to = below + part(values + below, count - below, pivot, true);
        if (rank < up_to || up_to == 0)
            return pivot;
        values += up_to;
        count -= up_to;
        rank -= up_to;
    }
    return values[0];
}

double statistics_median(double *values, size_t count)
{
    double upper;

    if (!count)
        return 0.0;
    upper = select_rank(values, count, count / 2);
    if (count % 2)
        return upper;
    return (gsl_stats_max(values, 1, count / 2) + upper) / 2;
}

double statistics_quantile(double *values, size_t count, double fraction)
{
    if (!count)
        return 0.0;
    gsl_sort(values, 1, count);
    return gsl_stats_quantile_from_sorted_data(values, 1, count, fraction);
}

double statistics_maximum(const double *values, size_t count)
{
    return count ? gsl_stats_max(values, 1, count) : 0.0;
}

double statistics_normal_radius(const double variances[3], double probability)
{
    double sum = variances[0] + variances[1] + variances[2];
    double squares =
        variances[0] * variances[0] + variances[1] * variances[1] + variances[2] * variances[2];

    if (!(sum > 0))
        return 0.0;
    return sqrt(gsl_cdf_gamma_Pinv(probability, sum * sum / (2 * squares), 2 * squares / sum));
}

/* --- tests ---------------------------------------------------------------------------------- */

#define MIXTURE_TAIL 1e-12

double statistics_student_limit(double probability, double freedom)
{
    return gsl_cdf_tdist_Pinv((1 + probability) / 2, freedom);
}

double statistics_chi_square_limit(double probability, double dimensions)
{
    return gsl_cdf_chisq_Pinv(probability, dimensions);
}

/* The terms of a Poisson mixture but for its tails, each MIXTURE_TAIL at most. */
struct terms {
    unsigned first;
    unsigned last;
};

static struct terms mixture_terms(double mean)
{
    /* Chernoff's bound: a Poisson variable is below mean - t with a chance of exp(-t^2 / 2 mean) at
     * most */
    double below = mean - sqrt(-2 * mean * log(MIXTURE_TAIL));
    struct terms terms = {below > 0 ? (unsigned)below : 0, (unsigned)(mean + 6 * sqrt(mean) + 6)};

    while (gsl_cdf_poisson_Q(terms.last, mean) > MIXTURE_TAIL)
        terms.last++;
    return terms;
}

double statistics_chi_square_beyond(double value, double dimensions, double offset)
{
    struct terms terms;
    double sum = 0;

    if (offset <= 0)
        return gsl_cdf_chisq_Q(value, dimensions);
    terms = mixture_terms(offset / 2);
    for (unsigned i = terms.first; i <= terms.last; i++)
        sum += gsl_ran_poisson_pdf(i, offset / 2) * gsl_cdf_chisq_Q(value, dimensions + 2.0 * i);
    return sum;
}

double statistics_f_beyond(double value, double first, double second)
{
    if (isinf(second))
        return gsl_cdf_chisq_Q(value * first, first);
    return gsl_cdf_fdist_Q(value, first, second);
}

/* The argument at which the trigamma function, which falls, has a value. Source: Smyth 2004, the
 * appendix: Newton's steps on its reciprocal. */
static double trigamma_inverse(double value)
{
    double at = 0.5 + 1 / value;

    for (int i = 0; i < 50; i++) {
        double here = gsl_sf_psi_1(at);
        double step = here * (1 - here / value) / gsl_sf_psi_n(2, at);

        at += step;
        if (-step / at < 1e-8)
            break;
    }
    return at;
}

struct variance_prior statistics_variance_prior(const double *variances, const double *freedoms,
                                                size_t count)
{
    double n = (double)count, mean = 0, squares = 0, expected = 0, excess, half;

    for (size_t i = 0; i < count; i++)
        mean += (log(variances[i]) - gsl_sf_psi(freedoms[i] / 2) + log(freedoms[i] / 2)) / n;
    for (size_t i = 0; i < count; i++) {
        double off = log(variances[i]) - gsl_sf_psi(freedoms[i] / 2) + log(freedoms[i] / 2) - mean;

        squares += off * off / (n - 1);
        expected += gsl_sf_psi_1(freedoms[i] / 2) / n;
    }
    excess = squares - expected;
    if (!(excess > 1e-3))
        return (struct variance_prior){exp(mean), INFINITY};
    half = trigamma_inverse(excess);
    return (struct variance_prior){exp(mean + gsl_sf_psi(half) - log(half)), 2 * half};
}

double statistics_hotelling_beyond(double value, double dimensions, double freedom, double offset)
{
    double rest = freedom - dimensions + 1;
    /* a chi-square over itself and an independent one of `rest` is a beta variable */
    double part = value / (value + freedom);
    struct terms terms;
    double sum = 0;

    if (!(rest > 0) || !(value > 0))
        return 1;
    if (offset <= 0)
        return gsl_cdf_beta_Q(part, dimensions / 2, rest / 2);
    terms = mixture_terms(offset / 2);
    for (unsigned i = terms.first; i <= terms.last; i++)
        sum +=
            gsl_ran_poisson_pdf(i, offset / 2) * gsl_cdf_beta_Q(part, dimensions / 2 + i, rest / 2);
    return sum;
}

double statistics_hotelling_limit(double probability, double dimensions, double freedom)
{
    double rest = freedom - dimensions + 1;

    if (!(rest > 0))
        return INFINITY;
    return freedom * dimensions / rest * gsl_cdf_fdist_Pinv(probability, dimensions, rest);
}

double statistics_gamma_beyond(double value, double mean, double variance)
{
    if (!(mean > 0) || !(variance > 0))
        return value < mean ? 1 : 0;
    return value > 0 ? gsl_cdf_gamma_Q(value, mean * mean / variance, variance / mean) : 1;
}
