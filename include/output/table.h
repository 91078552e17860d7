#ifndef WOAD_OUTPUT_TABLE_H
#define WOAD_OUTPUT_TABLE_H

#include "base/error.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

/*
 * Rows for people and for programs, written once for all three formats.
 *
 * A row is written by one function, a statement a column, which says the
 * column's name, how its values are printed and where the value comes from:
 *
 *     static void put_ink(struct table *table, const struct inventory_ink *ink)
 *     {
 *         table_row(table);
 *         table_text(table, COLUMN("ink"), ink->name);
 *         table_number(table, COLUMN("readings"), ink->readings);
 *     }
 *
 * The first row written makes the columns. So that a table of nothing has its
 * header too, a row of nothing is written first and table_keep_columns drops it.
 */
enum table_format { TABLE_TEXT, TABLE_CSV, TABLE_JSON };

enum column_kind {
    COLUMN_TEXT,
    COLUMN_NUMBER, /* aligned right */
    COLUMN_WORDS   /* words joined by ';': a list in JSON */
};

enum column_place {
    COLUMN_EVERYWHERE,
    COLUMN_IN_DATA,
    COLUMN_IN_TEXT,
    COLUMN_WITH_MORE /* in data, and in a text table whose reader asked for more */
};

struct column {
    const char *name;  /* in CSV and JSON */
    const char *title; /* above the column in a text table; NULL: the name */
    int decimals;      /* of numbers */
    enum column_place place;
    enum column_kind kind; /* set by the function that writes the value */
};

/* COLUMN("step", .title = "buy", .place = COLUMN_IN_DATA) */
#define COLUMN(...) ((struct column){.name = __VA_ARGS__})

/* One field of a row. */
struct field {
    bool missing; /* "-" in a text table, empty in CSV, null in JSON */
    double number;
    char *text; /* the table's own; NULL for numbers */
};

/* A zeroed table is an empty one. */
#define TABLE_COLUMNS_MAX 40
struct table {
    struct column columns[TABLE_COLUMNS_MAX];
    size_t column_count;
    bool columns_known;   /* the first row is whole */
    bool more;            /* text shows COLUMN_WITH_MORE too */
    struct field *fields; /* row by row */
    size_t count;         /* of fields */
    size_t capacity;
    size_t rows;
    struct error failure; /* the first want of memory; after it nothing more is written */
};

/** Begin a row; the one before must be whole. */
void table_row(struct table *table);

/** Write the row's next value. Text is copied; NULL is a value missing. */
void table_text(struct table *table, struct column column, const char *text);
void table_words(struct table *table, struct column column, const char *words);

/** Write the row's next value; one that is not finite is missing. */
void table_number(struct table *table, struct column column, double number);

/** Drop all rows; the columns stay. */
void table_keep_columns(struct table *table);

/** Returns: STATUS_OK; STATUS_MEMORY if a row could not be written whole. */
MUST_USE enum status table_check(const struct table *table, struct error *error);

void table_release(struct table *table);

size_t table_rows(const struct table *table);

/** Tell a format by its word, "table", "csv" or "json"; false: it is none of them. */
bool table_format_of(const char *word, enum table_format *format);

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

#endif
