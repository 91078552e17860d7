#ifndef WOAD_ANALYSIS_ALARMS_H
#define WOAD_ANALYSIS_ALARMS_H

#include "base/error.h"

#include <stddef.h>

/**
 * Raise the chances of many tests so that together they give a false alarm no
 * oftener than one would.
 *
 * Shape:   `chances` and `adjusted` hold `count` values and may be the same.
 * Returns: STATUS_OK; STATUS_MEMORY.
 * Source:  Holm 1979, "A simple sequentially rejective multiple test procedure".
 */
MUST_USE enum status alarms_holm(const double *chances, size_t count, double *adjusted,
                                 struct error *error);

#endif
