#ifndef WOAD_MEASUREMENT_CELL_LIGHT_H
#define WOAD_MEASUREMENT_CELL_LIGHT_H

#include "cell.h"
#include "scene.h"

/**
 * The light on a cell, as bare paper shows it: the fitted field, and what the paper right beside
 * the cell shows that to miss. Without paper there it is the field alone.
 *
 * Shape:   sets `on_paper` and `local_light` of `cell`, which says 1 before.
 */
struct rgb cell_light(const struct scene *scene, const struct quad *outline, struct cell *cell);

#endif
