#ifndef WOAD_LOCATION_CHART_CELLS_H
#define WOAD_LOCATION_CHART_CELLS_H

#include "base/error.h"
#include "location/chart_names.h"
#include "location/pose.h"
#include "sheet.h"

/**
 * Outline every cell of a chart: by its own edges where they show, else by its
 * region, else by the sheet.
 *
 * Shape:   `pose` has its rows and columns; the sheet is turned as it lies, and
 *          `lay` tells its first column and row. The sheet's regions are put
 *          onto the edges found.
 * Owns:    the caller releases `pose` with chart_pose_release, also on failure.
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status chart_cells_place(struct sheet *sheet, const struct chart_lay *lay,
                                       struct chart_pose *pose, struct error *error);

#endif
