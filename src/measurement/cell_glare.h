#ifndef WOAD_MEASUREMENT_CELL_GLARE_H
#define WOAD_MEASUREMENT_CELL_GLARE_H

#include "cell.h"
#include "measurement/measurement.h"
#include "scene.h"

/**
 * Find glare on a cell and the paper around it, and take it off the cell's colour.
 *
 * Shape:   fills `glare` of `cell`, and mends its `rgb` and `local_light` where there is some.
 * Returns: STATUS_OK, also without paper, which alone shows glare; STATUS_MEMORY.
 */
MUST_USE enum status cell_glare_take_off(const struct scene *scene, const struct reading *reading,
                                         struct cell *cell, struct error *error);

#endif
