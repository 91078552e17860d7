#ifndef WOAD_QUESTIONS_PRICES_H
#define WOAD_QUESTIONS_PRICES_H

#include "files/csv.h"
#include "questions/measured_range.h"

/**
 * Read a price as people write it: with a point or a comma for the decimals, groups of three digits
 * apart, a currency before or after it.
 *
 * Returns: whether it is one, from 0 to 1e6. "1,250" and "1.250" are none: they mean one thing here
 *          and a thousand times that there.
 */
bool prices_number(const char *text, double *price);

/**
 * Read a list of prices, an ink and its price on each line; the first may name the columns. Inks
 * that are near no name of the inventory are passed over: a shop's list knows more inks.
 *
 * Shape:   `prices` one for each ink with a colour; HUGE_VAL for those that are not listed.
 * Returns: STATUS_OK; STATUS_FILE; STATUS_FORMAT for a price that is none, or a list without any
 *          ink of the inventory; STATUS_INVENTORY for a name that looks like a slip; STATUS_MEMORY.
 */
MUST_USE enum status prices_read(const char *path, const struct measured_range *measured,
                                 double *prices, struct error *error);

/** Whether a list's first line names its columns. */
bool prices_is_header(const struct csv *csv);

#endif
