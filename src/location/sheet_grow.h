#ifndef WOAD_LOCATION_SHEET_GROW_H
#define WOAD_LOCATION_SHEET_GROW_H

#include "base/error.h"
#include "sheet.h"

/**
 * Add to a sheet what else looks like its cells and stands in line with them:
 * cells it missed, and whole columns or rows at any distance up to about two
 * pitches, as between groups.
 *
 * Shape:   the sheet's lattice is counted afresh, with gaps noted where columns
 *          or rows do not stand one pitch apart.
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status sheet_grow(struct sheet *sheet, struct error *error);

/**
 * Count what looks like cells of a sheet just outside its rows and columns: a
 * sign that some were missed.
 *
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status sheet_grow_leftover(const struct sheet *sheet, int *count,
                                         struct error *error);

#endif
