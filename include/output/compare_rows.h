#ifndef WOAD_OUTPUT_COMPARE_ROWS_H
#define WOAD_OUTPUT_COMPARE_ROWS_H

#include "analysis/batches.h"
#include "base/error.h"
#include "output/table.h"
#include "questions/compare_inks.h"
#include "questions/compare_sides.h"

/* The rows of 'woad compare'. */

/**
 * The rows of the verdicts.
 *
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status compare_rows(const struct compare_sides *sides, const struct batches *batches,
                                  struct table *table, struct error *error);

/**
 * The row of two inks against each other.
 *
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status compare_rows_inks(const struct compare_inks *compared, struct table *table,
                                       struct error *error);

/* How many swatches show a difference, if the spread is `known` so or so. */
struct compare_plan {
    double delta_e, spread;
    const char *known;
    int swatches;
    double power;
};

/** Add a row of a plan. */
void compare_rows_plan(const struct compare_plan *plan, struct table *table);

#endif
