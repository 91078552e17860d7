#ifndef WOAD_ANALYSIS_COVERING_H
#define WOAD_ANALYSIS_COVERING_H

/* Private to src/analysis: the table of pairs that the choices are made on. */

#include "analysis/cover.h"

struct covering {
    const struct cover_task *task;
    double *distance;  /* count x count */
    double *deviation; /* one an ink: about the standard deviation of its colour, in delta E */
};

/* Which pairs count as within the tolerance. */
enum covering_reading { AS_MEASURED, IF_CLOSE, IF_APART };

/**
 * Measure how far the inks lie apart.
 *
 * Owns:    the caller releases `covering` with covering_release.
 * Returns: STATUS_OK; STATUS_USAGE for more inks than can be looked at; STATUS_MEMORY.
 */
MUST_USE enum status covering_create(const struct cover_task *task, struct covering *covering,
                                     struct error *error);

void covering_release(struct covering *covering);

double covering_distance(const struct covering *covering, size_t a, size_t b);

bool covering_serves(const struct covering *covering, size_t a, size_t b, double within,
                     enum covering_reading reading);

bool covering_is_for_sale(const struct covering *covering, size_t ink);
double covering_cost(const struct covering *covering, size_t ink);

/**
 * Swap chosen inks for others while that shrinks the gaps in all: as many inks,
 * none dearer, and none that has a stand-in within the tolerance loses it.
 *
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status covering_bring_nearer(const struct covering *covering, double within,
                                           bool *chosen, struct error *error);

/**
 * Fill `cover` from what is chosen: stand-ins, counts and the order to buy in.
 *
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status covering_answer(const struct covering *covering, const bool *chosen,
                                     double within, struct cover *cover, struct error *error);

#endif
