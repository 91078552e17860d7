#ifndef WOAD_LOCATION_CHART_EXTENT_H
#define WOAD_LOCATION_CHART_EXTENT_H

#include "base/error.h"
#include "files/photo.h"
#include "location/chart_pose.h"
#include "vision/lattice.h"

/* Which of a lattice's columns and rows are the chart's; used by chart_pose.c only. */
struct chart_extent {
    int column; /* the first, in the lattice's count; may lie before or past its nodes */
    int row;
    int rows;
    int columns;
};

/**
 * Cut a lattice where no paper lies between one column or row of regions and
 * the next, nor on empty ones between: what lies beyond is another sheet.
 *
 * Shape:   the part with more regions stays; `rest`, zeroed before, gets the other.
 * Owns:    the caller frees the nodes of `rest`.
 * Returns: STATUS_OK, also where there is nothing to cut; STATUS_MEMORY.
 */
MUST_USE enum status chart_extent_split(const struct photo *photo, const struct card_pose cards[2],
                                        struct lattice *lattice, struct lattice *rest,
                                        struct error *error);

/**
 * Take off outer columns and rows that only a stray region holds, and count
 * columns and rows afresh from 0.
 */
MUST_USE enum status chart_extent_trim(struct lattice *lattice, struct error *error);

/**
 * Decide which columns and rows make up the chart, and which way up it lies.
 *
 * Without a names file it is all of the lattice, upright as the photo stands.
 * A names file is laid on it in every turn, and shifted where the sheet has
 * blank lines at its rim; where ink and names agree best, and clearly so, the
 * sheet lies. Without blank cells to tell by, it is taken as upright.
 *
 * Shape:   `lattice` is counted afresh from the sheet's own top left.
 * Returns: STATUS_OK; STATUS_NOT_FOUND if the counts differ and nothing
 *          decides, or the names do not fit; STATUS_MEMORY.
 */
MUST_USE enum status chart_extent_find(const struct photo *photo, const struct chart_wanted *wanted,
                                       struct lattice *lattice, struct chart_extent *extent,
                                       struct error *error);

#endif
