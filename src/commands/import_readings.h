#ifndef WOAD_COMMANDS_IMPORT_READINGS_H
#define WOAD_COMMANDS_IMPORT_READINGS_H

#include "inventory/inventory.h"

/* What was not told for some readings, for the note to the user. */
struct import_gaps {
    size_t no_uncertainty; /* readings with neither u95 nor covariances: taken as exact */
    size_t no_name; /* readings of ink whose name is not told: no inks before they are named */
};

/**
 * Give each reading of a CSV file as 'woad export' prints them; to none (NULL), only to see that
 * all can be read.
 *
 * Its first line names the columns, in any order; ink, L, a and b must be among
 * them. Without a chart the file's name is taken, without row and column the
 * line's number, without photo and photo_hash the file and its content's hash.
 *
 * Returns: STATUS_OK; STATUS_FILE; STATUS_FORMAT with row and column; STATUS_MEMORY; what `take`
 *          returns, and then it ends.
 */
MUST_USE enum status import_readings(const char *path, const struct inventory_taker *taker,
                                     struct import_gaps *gaps, struct error *error);

#endif
