#ifndef WOAD_VALUES_INTERVAL_H
#define WOAD_VALUES_INTERVAL_H

#include "values/colour.h"

#include <stdbool.h>

/* A delta E 2000 between two measured colours and the bounds that hold the true one. */
struct interval {
    double measured;
    double low; /* 0 where the two may be one colour */
    double high;
};

/**
 * The 95 % interval of the delta E 2000 between two measured colours.
 *
 * A measured difference is longer than the true one on average, for errors
 * add to it in every direction: `low` takes that into account.
 *
 * Shape:   `covariance` is that of the difference a - b, Lab, 3 x 3.
 * Source:  the local metric of delta E 2000, and the two-moment gamma
 *          approximation to a non-central weighted sum of chi-squares.
 */
struct interval interval_of_difference(struct lab a, struct lab b, const double covariance[9]);

/**
 * Bound delta E 2000 from below at a twentieth of its cost.
 *
 * With SL, SC and SH as in CIEDE2000, the rotation term takes at most sin 60 of
 * what chroma and hue give, SH never passes SC, and the stretching of a* only
 * lengthens: delta E squared >= (dL / SL)^2 + (1 - sin 60) (da^2 + db^2) / SC^2.
 *
 * Returns: a number that no delta E 2000 of the two is below.
 */
double interval_floor(struct lab a, struct lab b);

#endif
