#ifndef WOAD_COMMANDS_SHEETS_H
#define WOAD_COMMANDS_SHEETS_H

/* Private to src/commands: sheets of named cells, one behind the other. */

#include "files/names.h"

#include <stdbool.h>
#include <stddef.h>

#define SHEETS_LABEL_SIZE 160

/* A zeroed struct holds none. */
struct sheets {
    struct names *items;
    char (*labels)[SHEETS_LABEL_SIZE]; /* what each is called: its file's name, or its number */
    size_t count;
};

/**
 * Read the names files of sheets, in the order given.
 *
 * Owns:    the caller releases `sheets` with sheets_release.
 * Returns: as names_read; STATUS_FORMAT if an ink stands in two cells.
 */
MUST_USE enum status sheets_read(char **paths, size_t count, struct sheets *sheets,
                                 struct error *error);

/** Make sheets of blank cells, enough for `cells` of them. */
MUST_USE enum status sheets_create(int rows, int columns, size_t cells, struct sheets *sheets,
                                   struct error *error);

/** Copy sheets with their names; the caller releases the copy. */
MUST_USE enum status sheets_copy(const struct sheets *from, struct sheets *copy,
                                 struct error *error);

/** Add a blank sheet of the last one's size behind it. */
MUST_USE enum status sheets_add_blank(struct sheets *sheets, struct error *error);

void sheets_release(struct sheets *sheets);

size_t sheets_cells(const struct sheets *sheets);

/** A cell by its number over all sheets, from 0, in reading order. */
struct name *sheets_cell(const struct sheets *sheets, size_t cell);

/** Where an ink stands; the number of cells if nowhere. */
size_t sheets_find(const struct sheets *sheets, const char *ink);

/* Where a cell is. */
struct sheets_place {
    const char *sheet;
    int row, column; /* from 1 */
    char label[NAMES_LABEL_SIZE];
};

struct sheets_place sheets_place_of(const struct sheets *sheets, size_t cell);

/**
 * Write each sheet's names: FILE.csv for one, FILE-1.csv and so on for several.
 *
 * Returns: as names_write.
 */
MUST_USE enum status sheets_write(const struct sheets *sheets, const char *path,
                                  struct error *error);

#endif
