#ifndef WOAD_MEASUREMENT_RADIUS_H
#define WOAD_MEASUREMENT_RADIUS_H

#include "values/colour.h"

/**
 * The delta E 2000 radius around a colour that holds the truth with 95 %
 * probability, for a normal error with a given Lab covariance (3 x 3).
 *
 * Source: the local metric of CIEDE2000; Satterthwaite's approximation.
 */
double radius_95(struct lab at, const double covariance[9]);

#endif
