#ifndef WOAD_MEASUREMENT_CELLS_H
#define WOAD_MEASUREMENT_CELLS_H

#include "measurement/measurement.h"
#include "scene.h"

/**
 * Read every cell of a located chart.
 *
 * Shape:   makes and fills the chart's readings (rows * columns).
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status cells_read(const struct scene *scene, struct measured_chart *chart,
                                struct error *error);

/** Widen the uncertainty of a chart's readings by its faults; flag them where it can't be promised.
 */
void cells_widen(struct measured_chart *chart);

#endif
