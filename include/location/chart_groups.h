#ifndef WOAD_LOCATION_CHART_GROUPS_H
#define WOAD_LOCATION_CHART_GROUPS_H

#include "base/error.h"
#include "vision/lattice.h"

#include <stdbool.h>

/**
 * Join two lattices that are groups of one chart: in line with one another,
 * of one pitch, and no more than about a cell wider apart than their cells.
 *
 * Shape:   `lattice` becomes the whole, counted afresh, with the gap noted;
 *          `group` stays as it is.
 * Returns: STATUS_OK, with `*joined` telling whether they were; STATUS_MEMORY.
 */
MUST_USE enum status chart_groups_join(struct lattice *lattice, const struct lattice *group,
                                       bool *joined, struct error *error);

#endif
