#ifndef WOAD_LOCATION_INK_H
#define WOAD_LOCATION_INK_H

#include "base/error.h"
#include "files/photo.h"
#include "cell_box.h"
#include "location/pose.h"
#include "warp.h"
#include "vision/lattice.h"

/* Quick looks at paper and ink, to tell the chart; no measurement. */

enum ink { INK_NONE, INK_UNSURE, INK_SEEN };

/** Whether a place of the lattice is darker than the paper beside it, in any channel. */
enum ink ink_look(const struct photo *photo, const struct warp *warp, int column, int row);

/**
 * Drop the regions that do not lie on white paper: of the gaps at a cell's
 * corners three at least are as bright and as neutral as paper is beside the
 * card's own white, or lie between cells that touch.
 *
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status ink_keep_on_paper(const struct photo *photo, const struct warp *warp,
                                       const struct card_pose *card, struct lattice *lattice,
                                       struct error *error);

/** Whether a region is darker, in any channel, than the brightest that lies around it. */
bool ink_in_region(const struct photo *photo, const struct region *region);

/**
 * The bare paper beside a place of the lattice: the brightest of the gaps at its corners.
 *
 * Returns: false where none lies inside the photo.
 */
bool ink_paper_beside(const struct photo *photo, const struct warp *warp, int column, int row,
                      struct rgb *paper);

#endif
