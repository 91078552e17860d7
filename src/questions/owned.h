#ifndef WOAD_QUESTIONS_OWNED_H
#define WOAD_QUESTIONS_OWNED_H

#include "questions/measured_range.h"

#include <stdbool.h>

/* Which inks of a range a person owns. */

/**
 * Find an ink that one can own or buy, among those with a colour.
 *
 * Returns: STATUS_OK; STATUS_INVENTORY, also for the thin part of an ink.
 */
MUST_USE enum status owned_find(const struct measured_range *measured, const char *name,
                                size_t *place, struct error *error);

/**
 * Read a list of the inks owned, a name on each line.
 *
 * Shape:   `owned` one for each ink of the range with a colour; set where it is named.
 * Returns: STATUS_OK; as csv_read; as owned_find, with file and row.
 */
MUST_USE enum status owned_read(const char *path, const struct measured_range *measured,
                                bool *owned, struct error *error);

/**
 * Leave of a range only the inks owned.
 *
 * Returns: STATUS_OK; STATUS_INVENTORY if none is; as owned_read; STATUS_MEMORY.
 */
MUST_USE enum status owned_keep(const char *path, struct measured_range *measured,
                                struct error *error);

#endif
