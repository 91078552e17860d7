#ifndef WOAD_LOCATION_CHART_LINES_H
#define WOAD_LOCATION_CHART_LINES_H

#include "base/error.h"
#include "files/photo.h"
#include "location/pose.h"
#include "vision/lattice.h"
#include "vision/regions.h"

/**
 * Add to a lattice what else looks like cells of its chart and stands in line
 * with it: cells it missed, and whole columns or rows at any distance up to
 * about two pitches, as between groups.
 *
 * Shape:   `lattice` is counted afresh, with gaps noted where columns or rows
 *          do not stand one pitch apart.
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status chart_lines_gather(const struct photo *photo, const struct regions *regions,
                                        const struct card_pose cards[2], struct lattice *lattice,
                                        struct error *error);

#endif
