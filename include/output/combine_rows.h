#ifndef WOAD_OUTPUT_COMBINE_ROWS_H
#define WOAD_OUTPUT_COMBINE_ROWS_H

#include "analysis/combine.h"
#include "base/error.h"
#include "inventory/combinations.h"
#include "output/table.h"
#include "questions/measured_range.h"

/*
 * The rows of combinations and blends. Each of these functions fills a table,
 * which the caller releases, and returns STATUS_OK or STATUS_MEMORY.
 */

/**
 * Proposals, the best first; for programs with all their joins.
 *
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status combine_rows_proposals(const struct combine_task *task,
                                            const struct combine_answer *answer,
                                            struct table *table, struct error *error);

/**
 * The joins of proposals, one a row.
 *
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status combine_rows_joins(const struct combine_task *task,
                                        const struct combine_answer *answer, struct table *table,
                                        struct error *error);

/* One blend of two inks. */
struct combine_blend_row {
    const char *first, *second;
    double second_share;
    const struct blend_forecast *forecast;
    struct lab first_lab, second_lab;
    enum blend_basis basis;
};

void combine_rows_blends_start(struct table *table);
/**
 * Add one blend.
 *
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status combine_rows_blends_add(const struct combine_blend_row *row,
                                             struct table *table, struct error *error);

/**
 * The log of combinations made.
 *
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status combine_rows_made(const struct inventory_combinations *made,
                                       struct table *table, struct error *error);

/**
 * The inks that are in no combination of a log.
 *
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status combine_rows_without(const struct measured_range *measured,
                                          const struct inventory_combinations *made,
                                          struct table *table, struct error *error);

/* How far forecasts are off a blend as measured, delta E 2000. */
struct combine_offs {
    double by_law[BLEND_LAWS], learnt;
    bool lone; /* of a single blend nothing is left to be off by, once it is learnt */
};

/**
 * One cell of a test blend, as measured.
 *
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status combine_rows_strip_add(const struct inventory_blend_cell *cell,
                                            const struct combine_offs *offs, struct table *table,
                                            struct error *error);

#endif
