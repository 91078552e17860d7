#ifndef WOAD_FILES_NAMES_H
#define WOAD_FILES_NAMES_H

#include "base/error.h"
#include "values/calendar.h"

#include <stdbool.h>

#define NAMES_FILE_BYTES_MAX (1024 * 1024)
#define NAMES_INK_BYTES_MAX 120
#define NAMES_BATCH_BYTES_MAX 60
#define NAMES_SIDE_MAX 40 /* rows or columns of one sheet */
#define NAMES_LABEL_SIZE 16
/* A chart's name: with " 2" for the second of a photo and a label, it is an unnamed ink's. */
#define NAMES_CHART_BYTES_MAX (NAMES_INK_BYTES_MAX - NAMES_LABEL_SIZE - 4)

/* One cell of the sheet as its maker wrote it down. */
struct name {
    char ink[NAMES_INK_BYTES_MAX + 1];     /* empty: the cell was left blank */
    char batch[NAMES_BATCH_BYTES_MAX + 1]; /* empty unless written in [] behind the name */
    struct photo_time inked_at;            /* PHOTO_TIME_NONE unless written behind an @ */
};

/* The ink names of a sheet, laid out as its cells; row by row. */
struct names {
    int rows;
    int columns;
    struct name *cells;
};

/**
 * Read a sheet's ink names from a CSV file: a line per row of cells, a field
 * per cell, an empty field for a cell left blank. A field may end in the time
 * the swatch was made: "Juniper 1 @ 2026-05-03 10:20"; before it may stand the
 * batch: "Juniper 1 [7]". An ink may stand in several cells only where each of
 * them says its batch or its time: then it is meant.
 *
 * Fields may be parted by commas, semicolons or tabs, as spreadsheets do.
 *
 * Owns:    the caller releases the names with names_release.
 * Returns: STATUS_OK; STATUS_FILE; STATUS_FORMAT for a file that is no UTF-8
 *          text, has ragged lines or names an ink twice; STATUS_MEMORY.
 */
MUST_USE enum status names_read(const char *path, struct names *names, struct error *error);

void names_release(struct names *names);

/**
 * Write ink names as a CSV file that names_read reads; times are left out.
 *
 * Returns: STATUS_OK; STATUS_FILE, and then no file of that name is left half written.
 */
MUST_USE enum status names_write(const char *path, const struct names *names, struct error *error);

/** The name of the cell at `row`, `column`, both from 1. */
const struct name *names_at(const struct names *names, int row, int column);

/** The label of a cell: a letter for its row, a number for its column ("B3"); both from 1. */
void names_label(int row, int column, char label[NAMES_LABEL_SIZE]);

/** What a cell is called: its ink's name, or its label where no `names` (NULL) were given. */
const char *names_of_cell(const struct names *names, int row, int column,
                          char label[NAMES_LABEL_SIZE]);

#endif
