#ifndef WOAD_MEASUREMENT_BESIDE_H
#define WOAD_MEASUREMENT_BESIDE_H

#include "measurement/paper.h"
#include "values/colour.h"

#include <stdbool.h>

/**
 * The paper's colour at a place, from the samples around it: a local fit that
 * is straight in position, so that a steady fall of light over the cell does
 * not tilt it.
 *
 * Shape:   `rgb` one colour a paper sample; `reach_px` the distance at which a
 *          sample counts for little.
 * Returns: false with fewer than three samples near.
 */
bool beside_paper(const struct paper *paper, const struct rgb *rgb, struct point at,
                  double reach_px, struct rgb *here);

#endif
