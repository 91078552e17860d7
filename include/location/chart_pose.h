#ifndef WOAD_LOCATION_CHART_POSE_H
#define WOAD_LOCATION_CHART_POSE_H

#include "base/error.h"
#include "files/photo.h"
#include "location/pose.h"
#include "vision/regions.h"

/* A photo, and what was seen in it before its charts; it borrows all of it. */
struct view {
    const struct photo *photo;
    const struct regions *regions;
    const struct card_pose *cards; /* two: the card, and a second one or a zeroed pose */
};

/* What the user told of the chart. */
struct chart_wanted {
    int rows; /* 0: unknown */
    int columns;
    const bool *named; /* NULL, or rows * columns: which cells the names file fills */
    int number;        /* 0, or which of several charts, from the left or from above */
    bool every;        /* all there are, in this order; else one */
    bool turned;       /* how the sheet lies is told, and then: */
    int turns;         /* quarter turns clockwise, 0 to 3 */
};

/**
 * Find the chart: of the sheets of white paper, off the card, the one asked
 * for; else the one with the most ink that has the rows, columns and blank
 * cells that were described. Or find every chart.
 *
 * Cells without a region of their own (blank, pale) are placed by the lattice.
 *
 * Owns:    the caller releases each of `charts`, zeroed before, with chart_pose_release, also on
 *          failure: those placed until then stand in it.
 * Returns: STATUS_OK; STATUS_NOT_FOUND with what was seen, also if its rows
 *          and columns are not those wanted; STATUS_MEMORY.
 */
MUST_USE enum status chart_pose_find(const struct view *view, const struct chart_wanted *wanted,
                                     struct chart_poses *charts, struct error *error);

/**
 * Place the chart by its four corners, given by hand.
 *
 * Shape:   `corners` the outer corners of the corner cells, clockwise from the
 *          chart's own top left; `wanted` with rows and columns both known; the
 *          view needs no regions.
 * Returns: STATUS_OK; STATUS_USAGE if rows or columns are not given;
 *          STATUS_NOT_FOUND if the corners do not span a quad; STATUS_MEMORY.
 */
MUST_USE enum status chart_pose_from_corners(const struct view *view, const struct quad *corners,
                                             const struct chart_wanted *wanted,
                                             struct chart_pose *pose, struct error *error);

#endif
