#ifndef WOAD_COMMANDS_IMPORT_FIELDS_H
#define WOAD_COMMANDS_IMPORT_FIELDS_H

#include "base/error.h"
#include "files/csv.h"
#include "files/photo.h"
#include "import_readings.h"

/* The fields of a file of readings, found by the names of their columns. */
enum place {
    PLACE_INK,
    PLACE_BATCH,
    PLACE_CHART,
    PLACE_ROW,
    PLACE_COLUMN,
    PLACE_PAPER,
    PLACE_INKED_AT,
    PLACE_TAKEN,
    PLACE_FOUND,
    PLACE_L,
    PLACE_A,
    PLACE_B,
    PLACE_U95,
    PLACE_UNEVENNESS,
    PLACE_FLAGS,
    PLACE_PHOTO,
    PLACE_HASH,
    PLACE_TAKE,
    PLACE_CARD,
    PLACE_METHOD,
    PLACE_SHARED,
    PLACE_OWN = PLACE_SHARED + 6,
    PLACES = PLACE_OWN + 6
};

struct importing {
    const char *path;
    const char *name; /* the file's own name, without its folder and ending */
    char hash[33];
    struct csv *csv;
    size_t column[PLACES]; /* where in the file; 0: not there */
    size_t line;           /* of the file; the last of `csv` */
    const struct inventory_taker *taker;
    struct import_gaps *gaps;
    struct error *error;
};

/**
 * Find each column of the file's first line; STATUS_FORMAT for one unknown, twice or missing.
 *
 * Returns: STATUS_OK; STATUS_FORMAT.
 */
MUST_USE enum status import_place_columns(struct importing *importing);

/** A field of the present line as text; empty where the file has no such column. */
const char *import_field(const struct importing *importing, int place);

/**
 * Say what was found in a field and what was wanted.
 *
 * Returns: STATUS_FORMAT.
 */
enum status import_refuse(const struct importing *importing, int place, const char *wanted);

/*
 * Each of these reads one field, and leaves the value as it is where the field is empty.
 *
 * Returns: STATUS_OK; STATUS_FORMAT.
 */

MUST_USE enum status import_number(const struct importing *importing, int place, double minimum,
                                   double maximum, double *number);
MUST_USE enum status import_count(const struct importing *importing, int place, int *count);
MUST_USE enum status import_time(const struct importing *importing, int place,
                                 struct photo_time *time);

/**
 * Copy a text, the caller's to free; an empty one becomes `otherwise`, which may be NULL.
 *
 * Returns: STATUS_OK; STATUS_FORMAT; STATUS_MEMORY.
 */
MUST_USE enum status import_text(const struct importing *importing, int place,
                                 const char *otherwise, char **text);

#endif
