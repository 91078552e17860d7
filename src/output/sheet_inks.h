#ifndef WOAD_OUTPUT_SHEET_INKS_H
#define WOAD_OUTPUT_SHEET_INKS_H

/* Private to src/output: what is put on a printed sheet, cell by cell. */

#include "output/sheets.h"

#include <stddef.h>

/* In order; one without a name is a cell that stays blank. A zeroed struct holds none. */
struct sheet_inks {
    struct sheet_ink *items;
    size_t count;
    size_t capacity;
    int rows, columns; /* of the first names file; 0: none was given */
};

/* How they are chosen. */
struct sheet_choice {
    const char *inventory;
    const char *const *files; /* names files; none: the range in colour order */
    int file_count;
    bool listed; /* the names are a list: how the files lay them out does not hold */
    int copies;  /* cells for each ink, for later batches */
    int spare;   /* blank cells behind each family of the range */
};

/**
 * List what goes onto sheets: as names files say, else the range in colour order.
 *
 * Owns:    the caller frees the items with sheet_inks_release, also on failure.
 * Returns: STATUS_OK; STATUS_FILE and STATUS_FORMAT as names_read; STATUS_INVENTORY if there is
 *          no range; STATUS_MEMORY.
 */
MUST_USE enum status sheet_inks_load(const struct sheet_choice *choice, struct sheet_inks *inks,
                                     struct error *error);

void sheet_inks_release(struct sheet_inks *inks);

#endif
