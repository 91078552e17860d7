#ifndef WOAD_FILES_CSV_H
#define WOAD_FILES_CSV_H

#include "base/error.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

/*
 * The fields of a CSV file (RFC 4180) in UTF-8, as spreadsheets write it:
 * parted by commas, semicolons or tabs, whichever stands on every line (of the
 * first 64 KiB).
 * A zeroed struct holds none. Lines and columns count from 1; lines without
 * any field are not counted.
 */
struct csv {
    char *text;
    size_t text_length, text_capacity;
    size_t *fields; /* where in `text` each begins */
    size_t field_count, field_capacity;
    size_t *lines; /* the first field of each */
    size_t line_count, line_capacity;
};

/* What is read, and how the messages call it. */
struct csv_source {
    const char *path;
    const char *what; /* "names file" */
    size_t bytes_max;
};

/**
 * Read a CSV file.
 *
 * Owns:    the caller releases `csv` with csv_release.
 * Returns: STATUS_OK; STATUS_FILE; STATUS_FORMAT for a file that is too large,
 *          no UTF-8 text, or breaks off within quotation marks; STATUS_MEMORY.
 */
MUST_USE enum status csv_read(const struct csv_source *source, struct csv *csv,
                              struct error *error);

/* Whoever takes lines one by one. `csv` holds the first line and the present one, which is its
 * last: both the same on line 1. What is told of a line is gone when `take` returns. */
struct csv_taker {
    enum status (*take)(void *context, struct csv *csv, size_t line, struct error *error);
    void *context;
};

/**
 * Read a CSV file a line at a time, so that one of any length takes little memory.
 *
 * Returns: as csv_read; what `take` returns, and then it ends.
 */
MUST_USE enum status csv_each(const struct csv_source *source, const struct csv_taker *taker,
                              struct error *error);

void csv_release(struct csv *csv);

/** How many fields a line has. */
size_t csv_width(const struct csv *csv, size_t line);

/** A field, which may be changed in place if it gets no longer; empty past the line's end. */
char *csv_field(const struct csv *csv, size_t line, size_t column);

/**
 * Write one field of text, quoted where it must be, or always.
 *
 * A spreadsheet runs a field that begins as a formula does, and whoever named an ink need not be
 * its reader's friend: such a field gets an apostrophe before it, which spreadsheets take for "this
 * is text", and which csv_read takes off again.
 */
void csv_put(const char *text, bool always_quoted, FILE *out);

/** Turn each run of white space, which spreadsheets break lines with, into one space, none at the
 * ends. */
void csv_tidy(char *text);

#endif
