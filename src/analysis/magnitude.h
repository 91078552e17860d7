#ifndef WOAD_ANALYSIS_MAGNITUDE_H
#define WOAD_ANALYSIS_MAGNITUDE_H

/*
 * How large a difference is, when all three of its parts are uncertain. The
 * length of a measured difference is too large on average: where nothing
 * differs at all it is still not zero. All in one unit, delta E 2000 as
 * perceptual_frame gives it.
 */
struct magnitude {
    double difference[3];
    double covariance[9]; /* of the difference, 3 x 3 */
    double freedom;       /* that the covariance was estimated with; INFINITY: known */
};

/**
 * The 95 % interval of the true difference's length.
 *
 * Source:  inversion of the length's distribution, a non-central quadratic
 *          form, taken as a gamma variable of the same mean and variance (after
 *          Patnaik 1949); an estimated covariance widens it by Student's t.
 */
void magnitude_interval(const struct magnitude *magnitude, double *low, double *high);

/**
 * The chance to measure a difference like this where there is none.
 *
 * Source:  Hotelling's T squared; chi-square for a known covariance.
 */
double magnitude_chance(const struct magnitude *magnitude);

#endif
