#ifndef WOAD_MEASUREMENT_CELL_DOUBT_H
#define WOAD_MEASUREMENT_CELL_DOUBT_H

#include "cell.h"
#include "measurement/measurement.h"
#include "scene.h"

/** State the uncertainty of a reading whose colour and unevenness are known: its covariances and
 * u95. */
void cell_doubt_state(const struct scene *scene, const struct cell *cell, struct reading *reading);

/** Add a standard uncertainty in delta E 2000, alike in all directions, that a photo's readings
 * share. */
void cell_doubt_widen(double deviation, struct reading *reading);

#endif
