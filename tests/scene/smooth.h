#ifndef SCENE_SMOOTH_H
#define SCENE_SMOOTH_H

#include "spectrum.h"

/**
 * The reflectance within 0 to 1 that integrates exactly to a CIELAB colour
 * and departs most smoothly, on a logit scale, from a given shape.
 *
 * Shape:   `prior` is on the logit scale; all zero asks for the smoothest.
 * Source:  the method of Burns (2020), "Numerical methods for smoothest
 *          reflectance reconstruction", with the logistic function; from memory.
 */
struct spectrum smooth_reflectance(const struct observer *observer, const double lab[3],
                                   const struct spectrum *prior);

#endif
