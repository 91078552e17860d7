#ifndef WOAD_COMMANDS_RANGE_LOAD_H
#define WOAD_COMMANDS_RANGE_LOAD_H

#include "analysis/observation.h"
#include "analysis/range.h"
#include "inventory/inventory.h"

/* Which readings count; NULL: all. */
struct range_filter {
    const char *ink;
    const char *batch;
    const char *paper;
    const char *chart;
};

struct range {
    struct range_ink *inks; /* by name, as 'woad inks' lists them */
    size_t count;
};

/**
 * Load the inks of the inventory with their colours: the settled ones.
 *
 * Shape:   without a filter all inks, also those never measured (COLOUR_NONE);
 *          with one only those that have readings it lets pass.
 * Owns:    the caller releases `range` with range_release.
 * Returns: STATUS_OK; STATUS_INVENTORY; STATUS_MEMORY.
 */
MUST_USE enum status range_load(struct inventory *inventory, const struct range_filter *filter,
                                struct range *range, struct error *error);

void range_release(struct range *range);

/** Whether a reading found ink in a named cell and passes the filter. */
bool range_lets_pass(const struct range_filter *filter, const struct inventory_reading *kept);

/** A kept reading as the analyses see it. */
struct observation range_observation(const struct inventory_reading *kept);

/**
 * Find the ink a user named.
 *
 * Returns: STATUS_OK; STATUS_INVENTORY, with what is near, if there is none.
 */
MUST_USE enum status range_find(const struct range *range, const char *name,
                                const struct range_ink **ink, struct error *error);

/** Refuse an ink that the inventory does not hold; as range_find. */
MUST_USE enum status range_check_ink(struct inventory *inventory, const char *name,
                                     struct error *error);

#endif
