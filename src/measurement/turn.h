#ifndef WOAD_MEASUREMENT_TURN_H
#define WOAD_MEASUREMENT_TURN_H

#include "measurement/measurement.h"

/**
 * Ask again how the sheet lies, now that its cells are read: location only glanced at them.
 *
 * Notes in `chart` whether that is told at all.
 *
 * Shape:   `named` rows * columns, the cells that have a name, or NULL.
 * Returns: STATUS_OK; STATUS_NOT_FOUND if names and ink agree better half a turn on; STATUS_MEMORY.
 */
MUST_USE enum status turn_check(const struct photo *photo, const bool *named,
                                struct measured_chart *chart, struct error *error);

#endif
