#ifndef WOAD_LOCATION_CHART_NAMES_H
#define WOAD_LOCATION_CHART_NAMES_H

#include "base/error.h"
#include "location/chart_pose.h"
#include "vision/lattice.h"

/* Which way the names of a sheet lie on its cells: told by which cells are blank. */

enum ink { INK_NONE, INK_UNSURE, INK_SEEN };

/* What is seen of ink at the places of a sheet, and around them as far as it might reach. */
struct ink_seen {
    int lines[AXES];  /* the sheet's columns and rows, as found */
    int around;       /* how many more were looked at on each side */
    enum ink *places; /* row by row, those around with them */
};

/* One way to lay the names: turned, then shifted. */
struct chart_lay {
    int turns; /* quarter turns clockwise from upright */
    int column;
    int row;
};

/* Cells by which another way must agree better with what is seen, to be believed. */
#define CHART_NAMES_MARGIN 2

/** Cells that are named and bare, or inked and not named, with the names laid so. */
int chart_names_disagree(const struct ink_seen *seen, const struct chart_wanted *wanted,
                         const struct chart_lay *lay);

/** How far around the columns and rows found the named sheet may reach. */
int chart_names_reach(const int lines[AXES], const struct chart_wanted *wanted);

/**
 * Decide which columns and rows make up the chart, and which way up it lies.
 *
 * Names are laid in every turn, and shifted where the sheet has blank lines at
 * its rim; where ink and names agree best, and clearly so, the sheet lies.
 * Without blank cells to tell by, it is taken as upright; without names it is
 * all that was found, as the photo stands. Where the turn is told, none other is
 * tried.
 *
 * Shape:   `path` of the photo; `seen` needs no places where there are no names.
 * Returns: STATUS_OK; STATUS_NOT_FOUND if the counts differ and nothing
 *          decides, or the names do not fit.
 */
MUST_USE enum status chart_names_lay(const char *path, const struct ink_seen *seen,
                                     const struct chart_wanted *wanted, struct chart_lay *lay,
                                     struct error *error);

#endif
