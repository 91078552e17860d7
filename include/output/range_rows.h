#ifndef WOAD_OUTPUT_RANGE_ROWS_H
#define WOAD_OUTPUT_RANGE_ROWS_H

#include "analysis/cover.h"
#include "analysis/near.h"
#include "base/error.h"
#include "output/table.h"

/*
 * The rows of what is asked about a range. Each of these functions adds to a
 * table, which the caller releases, and returns STATUS_OK or STATUS_MEMORY.
 */

/* How the first column of near's rows is called and whether a text table shows it. */
enum near_rows { NEAR_OF_ONE, NEAR_OF_PAIRS, NEAR_OF_CELLS };

/** Begin a table of stand-ins. */
void range_rows_near_start(struct table *table, enum near_rows kind);

/**
 * One ink that could stand in for another; differences are told as one goes from `asked`.
 *
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status range_rows_near(const struct range_ink *asked, const struct range_ink *ink,
                                     const struct interval *delta_e, double within,
                                     struct table *table, struct error *error);

/**
 * What to buy, in the order to buy it in.
 *
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status range_rows_purchases(const struct cover_task *task, const struct cover *cover,
                                          struct table *table, struct error *error);

/**
 * Which ink stands in for which: `all` inks of the range, or those that are not chosen.
 *
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status range_rows_stand_ins(const struct cover_task *task, const struct cover *cover,
                                          bool all, struct table *table, struct error *error);

#endif
