#include "values/statistics.h"

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_sort.h>
#include <gsl/gsl_statistics_double.h>

#include <math.h>

double statistics_mean(const double *values, size_t count)
{
    return count ? gsl_stats_mean(values, 1, count) : 0.0;
}

double statistics_deviation(const double *values, size_t count)
{
    return count > 1 ? gsl_stats_sd(values, 1, count) : 0.0;
}

double statistics_median(double *values, size_t count)
{
    return count ? gsl_stats_median(values, 1, count) : 0.0;
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
