#ifndef WOAD_LOCATION_CHART_POSE_H
#define WOAD_LOCATION_CHART_POSE_H

#include "base/error.h"
#include "files/photo.h"
#include "location/pose.h"
#include "vision/lattice.h"

/**
 * Find the chart: the largest lattice that is not the card.
 *
 * Cells without a region of their own (blank, pale) are placed by the lattice.
 *
 * Shape:   `rows` and `columns` what the sheet must have, 0 where unknown;
 *          `named` NULL, or rows * columns: which cells the names file fills.
 * Owns:    the caller releases `pose` with chart_pose_release.
 * Returns: STATUS_OK; STATUS_NOT_FOUND with what was seen, also if its rows
 *          and columns are not those wanted; STATUS_MEMORY.
 */
struct chart_wanted {
    int rows;
    int columns;
    const bool *named;
};
MUST_USE enum status chart_pose_find(const struct photo *photo, const struct lattices *lattices,
                                     const struct card_pose *card,
                                     const struct chart_wanted *wanted, struct chart_pose *pose,
                                     struct error *error);

/**
 * Place the chart by its four corners, given by hand.
 *
 * Shape:   `corners` the outer corners of the corner cells, clockwise from the
 *          chart's own top left; `wanted` with rows and columns both known.
 * Returns: STATUS_OK; STATUS_USAGE if rows or columns are not given;
 *          STATUS_NOT_FOUND if the corners do not span a quad; STATUS_MEMORY.
 */
MUST_USE enum status chart_pose_from_corners(const struct photo *photo, const struct quad *corners,
                                             const struct chart_wanted *wanted,
                                             struct chart_pose *pose, struct error *error);

#endif
