#ifndef WOAD_LOCATION_LEFTOVER_H
#define WOAD_LOCATION_LEFTOVER_H

#include "base/error.h"
#include "files/photo.h"
#include "location/pose.h"
#include "vision/lattice.h"
#include "vision/regions.h"

/**
 * Count what looks like cells of a chart, in size and on its paper, just
 * outside the rows and columns found: a sign that some were missed.
 *
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status leftover_count(const struct photo *photo, const struct regions *regions,
                                    const struct card_pose cards[2], const struct lattice *lattice,
                                    int *count, struct error *error);

#endif
