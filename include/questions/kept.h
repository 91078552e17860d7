#ifndef WOAD_QUESTIONS_KEPT_H
#define WOAD_QUESTIONS_KEPT_H

#include "analysis/observation.h"
#include "base/error.h"
#include "inventory/inventory.h"

#include <stdbool.h>

/* Readings as the inventory keeps them: which count, and how the analyses see them. */

/* Which readings count; what is NULL lets all pass. */
struct kept_filter {
    const char *ink;
    const char *batch;
    const char *paper;
    const char *chart;
};

/** Whether a reading found ink in a named cell and passes the filter (NULL: any). */
bool kept_passes(const struct kept_filter *filter, const struct inventory_reading *kept);

/** A kept reading as the analyses see it. */
struct observation kept_observation(const struct inventory_reading *kept);

/**
 * Refuse an ink that the inventory does not hold.
 *
 * Returns: STATUS_OK; STATUS_INVENTORY, with what is near, if there is none; STATUS_MEMORY.
 */
MUST_USE enum status kept_check_ink(struct inventory *inventory, const char *name,
                                    struct error *error);

/**
 * Say that there is no such ink, and which one is near.
 *
 * Returns: STATUS_NOT_FOUND.
 */
enum status kept_no_such_ink(const char *name, const char *near, struct error *error);

#endif
