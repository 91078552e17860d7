#ifndef WOAD_MEASUREMENT_BESIDE_H
#define WOAD_MEASUREMENT_BESIDE_H

#include "paper.h"
#include "values/colour.h"

#include <stdbool.h>

/**
 * The paper's colour at a cell, from the samples around it: a local fit that is straight in
 * position, so that a steady fall of light over the cell does not tilt it. Samples from some cells
 * away count too, unless those right beside the cell differ from them by more than chance.
 *
 * Shape:   `rgb` one colour a paper sample; `side_px` of the cell.
 * Returns: false with fewer than three samples right beside it.
 */
bool beside_paper(const struct paper *paper, const struct rgb *rgb, struct point at, double side_px,
                  struct rgb *here);

#endif
