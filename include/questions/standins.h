#ifndef WOAD_QUESTIONS_STANDINS_H
#define WOAD_QUESTIONS_STANDINS_H

#include "analysis/near.h"
#include "measurement/measurement.h"
#include "questions/measured_range.h"

/* What could stand in for a colour, for each cell of a photo, or for one another in the range. */

struct standin {
    const struct range_ink *asked;
    const struct range_ink *ink;
    struct interval delta_e;
};

struct standins {
    struct standin *items; /* of each colour asked for the nearest first */
    size_t count;
    size_t within;           /* how many lie within the tolerance, listed or not */
    struct range_ink *cells; /* those of a photo that were asked for, by their labels */
    size_t cell_count;
};

/**
 * What could stand in for one colour.
 *
 * Shape:   `standins` comes in zeroed; it points into `measured` and at `asked`.
 * Owns:    the caller releases `standins` with standins_release, also on failure.
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status standins_of(const struct measured_range *measured,
                                 const struct range_ink *asked, const struct near_wish *wish,
                                 struct standins *standins, struct error *error);

/**
 * What could stand in for each cell of a chart that holds ink.
 *
 * Shape, Owns, Returns: as standins_of.
 */
MUST_USE enum status standins_of_cells(const struct measured_range *measured,
                                       const struct measured_chart *chart,
                                       const struct near_wish *wish, struct standins *standins,
                                       struct error *error);

/**
 * Every pair of the range within a tolerance, in delta E 2000.
 *
 * Shape, Owns, Returns: as standins_of.
 */
MUST_USE enum status standins_in_range(const struct measured_range *measured, double within,
                                       struct standins *standins, struct error *error);

void standins_release(struct standins *standins);

#endif
