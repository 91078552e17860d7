#ifndef WOAD_QUESTIONS_NAME_SHEETS_H
#define WOAD_QUESTIONS_NAME_SHEETS_H

/* Sheets of named cells, one behind the other. */

#include "files/names.h"

#include <stdbool.h>
#include <stddef.h>

#define NAME_SHEETS_LABEL_SIZE 160

/* A zeroed struct holds none. */
struct name_sheets {
    struct names *items;
    char (
        *labels)[NAME_SHEETS_LABEL_SIZE]; /* what each is called: its file's name, or its number */
    size_t count;
};

/**
 * Read the names files of sheets, in the order given.
 *
 * Owns:    the caller releases `sheets` with name_sheets_release.
 * Returns: as names_read; STATUS_FORMAT if an ink stands in two cells.
 */
MUST_USE enum status name_sheets_read(char **paths, size_t count, struct name_sheets *sheets,
                                      struct error *error);

/**
 * Make sheets of blank cells, enough for `cells` of them.
 *
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status name_sheets_create(int rows, int columns, size_t cells,
                                        struct name_sheets *sheets, struct error *error);

/**
 * Copy sheets with their names; the caller releases the copy.
 *
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status name_sheets_copy(const struct name_sheets *from, struct name_sheets *copy,
                                      struct error *error);

/**
 * Add a blank sheet of the last one's size behind it.
 *
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status name_sheets_add_blank(struct name_sheets *sheets, struct error *error);

void name_sheets_release(struct name_sheets *sheets);

size_t name_sheets_cells(const struct name_sheets *sheets);

/** A cell by its number over all sheets, from 0, in reading order. */
struct name *name_sheets_cell(const struct name_sheets *sheets, size_t cell);

/** Where an ink stands; the number of cells if nowhere. */
size_t name_sheets_find(const struct name_sheets *sheets, const char *ink);

/* Where a cell is. */
struct name_sheets_place {
    const char *sheet;
    int row, column; /* from 1 */
    char label[NAMES_LABEL_SIZE];
};

struct name_sheets_place name_sheets_place_of(const struct name_sheets *sheets, size_t cell);

/**
 * Write each sheet's names: FILE.csv for one, FILE-1.csv and so on for several.
 *
 * Returns: as names_write.
 */
MUST_USE enum status name_sheets_write(const struct name_sheets *sheets, const char *path,
                                       struct error *error);

#endif
