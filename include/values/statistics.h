#ifndef WOAD_VALUES_STATISTICS_H
#define WOAD_VALUES_STATISTICS_H

#include <stddef.h>

/* Order statistics and summaries; `values` may be reordered where it is not const. */

double statistics_mean(const double *values, size_t count);

/** Sample standard deviation (n - 1); 0 for fewer than two values. */
double statistics_deviation(const double *values, size_t count);

/** The median, by selection; reorders `values`. Returns 0 for none. */
double statistics_median(double *values, size_t count);

/** The quantile at `fraction` (0 to 1), linear between order statistics; sorts `values`. */
double statistics_quantile(double *values, size_t count, double fraction);

double statistics_maximum(const double *values, size_t count);

/**
 * The radius that a centred normal 3-vector stays within with a given probability.
 *
 * Shape:   `variances` are the variances along its principal axes.
 * Source:  Satterthwaite's two-moment gamma approximation to a weighted sum of
 *          chi-squares.
 */
double statistics_normal_radius(const double variances[3], double probability);

#endif
