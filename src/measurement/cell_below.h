#ifndef WOAD_MEASUREMENT_CELL_BELOW_H
#define WOAD_MEASUREMENT_CELL_BELOW_H

#include "cell.h"
#include "scene.h"

/* Channels cut off at the photo's low end: an ink too colourful for the photo's colour space has
 * one at the end of its range, and the truth lies below. */

/** How far each channel of a cell lies below the photo's range; 0 for those that are not cut off.
 */
struct rgb cell_below_range(const struct scene *scene, const struct cell *cell);

/** The cell with one channel lower by a standard deviation of that. */
struct cell cell_below_by_a_deviation(const struct cell *cell, int channel);

#endif
