#ifndef WOAD_MEASUREMENT_CELLS_H
#define WOAD_MEASUREMENT_CELLS_H

#include "correction/correction.h"
#include "files/photo.h"
#include "location/pose.h"
#include "measurement/measurement.h"
#include "paper.h"

/**
 * Read every cell of a located chart through a fitted correction.
 *
 * Shape:   fills measurement->readings (rows * columns) and measurement->paper.
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status cells_read(const struct photo *photo, const struct paper *paper,
                                struct measurement *measurement, struct error *error);

#endif
