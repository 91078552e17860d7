#ifndef SCENE_GUIDED_H
#define SCENE_GUIDED_H

#include "raster.h"

/**
 * Smooth a plane but keep its edges.
 *
 * Shape:   in and out are `width_px` x `height_px`, rows from the top.
 * Units:   `reach_px` half the side of the window; steps well above `edge`,
 *          in the plane's own units, stay.
 * Owns:    the caller frees the result.
 * Source:  He, Sun and Tang (2013), "Guided image filtering", the plane its own
 *          guide; from memory.
 */
float *guided_smooth(const float *plane, int width_px, int height_px, int reach_px, double edge);

#endif
