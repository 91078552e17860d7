#ifndef WOAD_LOCATION_SHEET_CLEAN_H
#define WOAD_LOCATION_SHEET_CLEAN_H

#include "base/error.h"
#include "sheet.h"

#define SHEET_NODES_MIN 4 /* a sheet with fewer cells is no chart */

/**
 * Keep of a sheet what can be a chart: cells of one size, on white paper, on one sheet, with no
 * stray region at its rim.
 *
 * Shape:   `sheet`, no item of `sheets`, loses nodes, all of them if it can be no chart; what is
 *          cut off as another sheet goes behind `sheets`.
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status sheet_clean(struct sheet *sheet, struct sheets *sheets, struct error *error);

#endif
