#ifndef WOAD_QUESTIONS_RANGE_LOAD_H
#define WOAD_QUESTIONS_RANGE_LOAD_H

#include "analysis/range.h"
#include "inventory/inventory.h"
#include "questions/kept.h"

/* What else an ink's readings tell. */
struct range_facts {
    int readings; /* in which ink was found */
    int swatches;
    struct photo_time taken; /* the latest of the readings that its colour is combined from */
    unsigned flags;          /* theirs */
};

/* The one place where an ink gets its colour: every question asks for it here. */
struct range {
    struct range_ink *inks; /* by name, as 'woad inks' lists them */
    struct range_facts *facts;
    size_t count;
    int64_t *counted; /* the ids of the readings that went into the colours, ascending */
    size_t counted_count;
};

/**
 * Load the inks of the inventory with their colours: the settled ones, on the usual paper
 * (settled_colour).
 *
 * Shape:   without a filter all inks, also those never measured (COLOUR_NONE);
 *          with one only those that have readings it lets pass.
 * Owns:    the caller releases `range` with range_release.
 * Returns: STATUS_OK; STATUS_INVENTORY; STATUS_MEMORY.
 */
MUST_USE enum status range_load(struct inventory *inventory, const struct kept_filter *filter,
                                struct range *range, struct error *error);

void range_release(struct range *range);

/**
 * Find the ink a user named.
 *
 * Returns: STATUS_OK; STATUS_INVENTORY, with what is near, if there is none.
 */
MUST_USE enum status range_find(const struct range *range, const char *name,
                                const struct range_ink **ink, struct error *error);

/** Whether a reading (by its id) went into its ink's colour. */
bool range_counts(const struct range *range, int64_t reading);

#endif
