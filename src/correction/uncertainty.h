#ifndef WOAD_CORRECTION_UNCERTAINTY_H
#define WOAD_CORRECTION_UNCERTAINTY_H

#include "parts.h"

/**
 * The covariance (Lab, 3 x 3) of the error that a fit to the card makes at a
 * colour: what the fit leaves open, the card's own tolerance, stray light.
 */
void uncertainty_of_fit(const struct correction *correction, struct lab lab, double covariance[9]);

#endif
