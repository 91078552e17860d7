#ifndef WOAD_CORRECTION_GAMUT_H
#define WOAD_CORRECTION_GAMUT_H

#include "colour_fit.h"

/**
 * How far a colour lies outside the convex hull of the patches' colours.
 *
 * Returns: distance in Lab units; about 0 inside.
 * Source:  Gilbert 1966; Frank and Wolfe 1956.
 */
double gamut_distance(const struct colour_patch *patches, int count, struct lab lab);

#endif
