#ifndef WOAD_OUTPUT_DRYING_ROWS_H
#define WOAD_OUTPUT_DRYING_ROWS_H

/* The rows of 'woad drying'. */

#include "questions/dried.h"
#include "output/table.h"

/**
 * A row for each reading, the photos' shared errors taken off.
 *
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status drying_rows_of_readings(const struct drying_set *set, struct table *table,
                                             struct error *error);

/**
 * A row for each swatch, the one that moved furthest first.
 *
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status drying_rows_of_swatches(const struct drying_set *set, struct table *table,
                                             struct error *error);

#endif
