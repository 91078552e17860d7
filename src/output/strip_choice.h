#ifndef WOAD_OUTPUT_STRIP_CHOICE_H
#define WOAD_OUTPUT_STRIP_CHOICE_H

/* Private to src/output: the combinations that are put on printed strips. */

#include "output/sheets.h"
#include "questions/blend_log.h"

/* A zeroed struct holds none. */
struct strip_choice {
    struct sheet_strips strips; /* borrow names from the two below */
    struct measured_range measured;
    struct blend_log log;
};

/**
 * Lay out one combination of named inks, or, of none, every one that is logged: each from its
 * lighter end to its darker, with its blends between and how they are foreseen.
 *
 * Owns:    the caller releases `choice` with strip_choice_release, also on failure.
 * Returns: STATUS_OK; STATUS_USAGE; STATUS_INVENTORY, also for an ink that is not known, or where
 *          nothing is logged; STATUS_MEMORY.
 */
MUST_USE enum status strip_choice_load(const char *inventory, char *const *inks, int count,
                                       struct strip_choice *choice, struct error *error);

void strip_choice_release(struct strip_choice *choice);

#endif
