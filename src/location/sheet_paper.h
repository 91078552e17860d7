#ifndef WOAD_LOCATION_SHEET_PAPER_H
#define WOAD_LOCATION_SHEET_PAPER_H

#include "base/error.h"
#include "location/chart_names.h"
#include "sheet.h"

#include <stdbool.h>

/* Quick looks at the paper and the ink of a sheet, to tell the chart; no measurement. */

/** Whether a place of the sheet is darker than the paper beside it, in any channel. */
enum ink sheet_ink(const struct sheet *sheet, int column, int row);

/** Whether a region is darker, in any channel, than the brightest that lies around it. */
bool sheet_region_is_ink(const struct photo *photo, const struct region *region);

/**
 * Drop the regions that do not lie on white paper: of the gaps at a cell's
 * corners three at least are as bright and as neutral as paper is beside the
 * card's own white, or lie between cells that touch.
 *
 * Shape:   the sheet's lattice loses nodes; sheet_fit is due.
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status sheet_keep_on_paper(struct sheet *sheet, struct error *error);

/** Whether the paper of a cell, its `like`, lies around a box laid about a place of the photo. */
bool sheet_paper_around(const struct sheet *sheet, const struct lattice_node *like,
                        const struct cell_box *box, struct point at);

/* How sure it is that the sheet's paper goes on between two cells: grey things look like paper in a
 * shadow. */
enum paper_between { PAPER_PARTED, PAPER_IN_SHADOW, PAPER_GOES_ON };

/**
 * Whether the sheet's paper goes on from one place of the photo to another.
 *
 * Shape: `from` and `to` are centres of cells.
 */
enum paper_between sheet_paper_between(const struct sheet *sheet, struct point from,
                                       struct point to);

/** Whether a sheet whose cells touch goes on at a place beside it: ink, and no paper before it. */
bool sheet_ink_goes_on(const struct sheet *sheet, int column, int row);

/**
 * Whether a place beside the sheet's cells is one more of them, hatched with a pen: strokes with
 * paper between them make no region.
 *
 * Units: `tint` gets the ink's red and blue over green, logarithms, against paper's.
 */
bool sheet_hatched(const struct sheet *sheet, int column, int row, double tint[2]);

#endif
