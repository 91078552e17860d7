#include "measurement/radius.h"

#include "correction/colour_model.h"
#include "values/linear.h"
#include "values/statistics.h"

double radius_95(struct lab at, const double covariance[9])
{
    double whitener[9], whitened[9], variances[3];

    colour_whitener(at, whitener);
    linear_carry_3x3(whitener, covariance, whitened);
    linear_eigenvalues_3x3(whitened, variances);
    return statistics_normal_radius(variances, 0.95);
}
