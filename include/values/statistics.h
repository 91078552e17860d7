#ifndef WOAD_VALUES_STATISTICS_H
#define WOAD_VALUES_STATISTICS_H

#include <stddef.h>

/* Order statistics and summaries; `values` may be reordered where it is not const. */

double statistics_mean(const double *values, size_t count);

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

/* --- tests ---------------------------------------------------------------------------------- */

/** Student's t: the value that is not passed, either way, with the given probability. */
double statistics_student_limit(double probability, double freedom);

/** The value a chi-square does not pass with the given probability. */
double statistics_chi_square_limit(double probability, double dimensions);

/** The chance that a non-central chi-square passes `value`; `offset` is its non-centrality, 0:
 * none. */
double statistics_chi_square_beyond(double value, double dimensions, double offset);

/** The chance that an F passes `value`; the second freedom may be INFINITY. */
double statistics_f_beyond(double value, double first, double second);

/* Variances that scatter about one: those of a group, by what many samples tell. */
struct variance_prior {
    double variance; /* the one they scatter about */
    double freedom;  /* it is worth so many degrees of freedom; INFINITY: they do not scatter */
};

/**
 * Learn from the variances of many samples what a sample's is before it is looked at.
 *
 * Shape:   `count` variances, all above 0, with the degrees of freedom each was estimated with;
 *          at least two.
 * Source:  Smyth 2004, "Linear models and empirical Bayes methods for assessing differential
 *          expression in microarray experiments", section 6.2.
 */
struct variance_prior statistics_variance_prior(const double *variances, const double *freedoms,
                                                size_t count);

/**
 * The chance that Hotelling's T squared passes `value`.
 *
 * Units:   `freedom` of the covariance it was formed with, at least `dimensions`;
 *          `offset` the non-centrality, 0 where there is no difference.
 * Source:  Hotelling 1931; T squared is freedom dimensions / (freedom - dimensions + 1) times
 *          an F; non-central by the Poisson mixture of central ones.
 */
double statistics_hotelling_beyond(double value, double dimensions, double freedom, double offset);

/** The T squared that is not passed with the given probability. */
double statistics_hotelling_limit(double probability, double dimensions, double freedom);

/** The chance that a gamma variable of a given mean and variance passes `value`. */
double statistics_gamma_beyond(double value, double mean, double variance);

#endif
