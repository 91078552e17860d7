#ifndef WOAD_MEASUREMENT_RIM_H
#define WOAD_MEASUREMENT_RIM_H

#include "files/photo.h"
#include "location/pose.h"

/*
 * What the rim of a cell shows: ink ends there, light does not. Shadow and
 * glare may darken or brighten a cell as pale ink does, but go on over its
 * rim, so the step from inside the rim to outside it tells ink from light.
 */
struct rim {
    int pairs;      /* of facing sides with a gap wide enough to look into: 0 to 2 */
    double step[3]; /* log of inside over outside, per channel: the mean over the sides */
};

/** Look at the rims of a cell, counted row by row: just inside, and in the gap outside. */
void rim_look(const struct photo *photo, const struct chart_pose *chart, int cell, struct rim *rim);

#endif
