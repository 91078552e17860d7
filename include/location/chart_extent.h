#ifndef WOAD_LOCATION_CHART_EXTENT_H
#define WOAD_LOCATION_CHART_EXTENT_H

#include "base/error.h"
#include "files/photo.h"
#include "location/chart_pose.h"
#include "location/warp.h"
#include "vision/lattice.h"

/* Which of a lattice's columns and rows are the chart's; used by chart_pose.c only. */
struct chart_extent {
    int column; /* the first, in the lattice's count; may lie before or past its nodes */
    int row;
    int rows;
    int columns;
};

/**
 * Take off outer columns and rows that only a stray region holds, and count
 * columns and rows afresh from 0.
 */
MUST_USE enum status chart_extent_trim(struct lattice *lattice, struct error *error);

/**
 * Drop the regions that do not lie on white paper: of the gaps at a cell's
 * corners three at least are as bright and as neutral as paper is beside the
 * card's own white.
 */
void chart_extent_keep_paper(const struct photo *photo, const struct warp *warp,
                             const struct card_pose *card, struct lattice *lattice);

/** Whether a place is darker than the paper beside it. */
bool chart_extent_inked(const struct photo *photo, const struct warp *warp, int column, int row);

/**
 * Decide which columns and rows make up the chart.
 *
 * Without wishes it is all of the lattice. With wished counts that are larger,
 * the places where the names file has ink decide where the missing blank lines
 * belong.
 *
 * Returns: STATUS_OK; STATUS_NOT_FOUND if the counts differ and nothing decides.
 */
MUST_USE enum status chart_extent_find(const struct photo *photo, const struct lattice *lattice,
                                       const struct warp *warp, const struct chart_wanted *wanted,
                                       struct chart_extent *extent, struct error *error);

#endif
