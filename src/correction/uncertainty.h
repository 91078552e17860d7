#ifndef WOAD_CORRECTION_UNCERTAINTY_H
#define WOAD_CORRECTION_UNCERTAINTY_H

#include "colour_fit.h"

/**
 * The covariance (Lab, 3 x 3) of the error that a fit to the card makes at a
 * colour: from the leave-one-out errors near it, and the card's own tolerance.
 */
void uncertainty_of_fit(const struct colour_patch *patches, const struct colour_check *check,
                        int count, struct lab lab, double covariance[9]);

#endif
