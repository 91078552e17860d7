#ifndef WOAD_OUTPUT_TABLE_H
#define WOAD_OUTPUT_TABLE_H

#include "base/error.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

/* Rows for people and for programs: one definition of the columns serves all three formats. */
enum table_format { TABLE_TEXT, TABLE_CSV, TABLE_JSON };

enum column_kind {
    COLUMN_TEXT,
    COLUMN_NUMBER, /* aligned right */
    COLUMN_WORDS   /* words joined by ';': a list in JSON */
};

enum column_place { COLUMN_EVERYWHERE, COLUMN_IN_DATA, COLUMN_IN_TEXT };

struct column {
    const char *name;  /* in CSV and JSON */
    const char *title; /* above the column in a text table; NULL: the name */
    enum column_kind kind;
    int decimals; /* of numbers */
    enum column_place place;
};

/* One field. `text` is borrowed in a row being added, and the table's own once it is in. */
struct field {
    bool missing; /* "-" in a text table, empty in CSV, null in JSON */
    double number;
    const char *text;
};

/* A zeroed table with its columns set (at most TABLE_COLUMNS_MAX) is an empty one. */
#define TABLE_COLUMNS_MAX 32
struct table {
    const struct column *columns;
    size_t column_count;
    struct field *fields; /* row by row */
    size_t count;         /* of fields */
    size_t capacity;
};

struct field field_text(const char *text); /* NULL: missing */
struct field field_number(double number);  /* not finite: missing */
struct field field_missing(void);

/**
 * Add a row.
 *
 * Shape:   `row` has a field for each column.
 * Returns: STATUS_OK; STATUS_MEMORY, and the table stands as it was.
 */
MUST_USE enum status table_add(struct table *table, const struct field *row, struct error *error);

void table_release(struct table *table);

size_t table_rows(const struct table *table);

/**
 * Print a table in the format asked for, with its header.
 *
 * Returns: STATUS_OK; STATUS_MEMORY. Whether `out` took it is for the caller to see.
 */
MUST_USE enum status table_write(const struct table *table, enum table_format format, FILE *out,
                                 struct error *error);

/* The parts, for a command that prints several tables as one. */
void table_write_text(const struct table *table, FILE *out);
void table_write_csv_header(const struct table *table, FILE *out);
void table_write_csv_rows(const struct table *table, FILE *out);

/** A number rounded as its column says; never "-0". */
double table_rounded(double number, int decimals);

#endif
