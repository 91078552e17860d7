#include "measurement/uncertainty.h"

#include "values/linear.h"
#include "values/statistics.h"

#include <math.h>

/* The lower triangular root of a symmetric positive 3 x 3 matrix. */
static void cholesky_3x3(const double m[9], double root[9])
{
    for (int i = 0; i < 9; i++)
        root[i] = 0;
    for (int i = 0; i < 3; i++)
        for (int j = 0; j <= i; j++) {
            double sum = m[3 * i + j];

            for (int k = 0; k < j; k++)
                sum -= root[3 * i + k] * root[3 * j + k];
            root[3 * i + j] = i == j ? sqrt(fmax(sum, 1e-12)) : sum / root[3 * j + j];
        }
}

double uncertainty_radius_95(struct lab at, const double covariance[9])
{
    double metric[9], root[9], turned[9], half[9], scaled[9], variances[3];

    colour_metric(at, metric);
    cholesky_3x3(metric, root);
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            turned[3 * i + j] = root[3 * j + i];
    linear_multiply_3x3(turned, covariance, half);
    linear_multiply_3x3(half, root, scaled);
    linear_eigenvalues_3x3(scaled, variances);
    return statistics_normal_radius(variances, 0.95);
}
