#ifndef WOAD_INVENTORY_DATABASE_H
#define WOAD_INVENTORY_DATABASE_H

/* Private to src/inventory: how its files speak to SQLite. */

#include "base/error.h"
#include "inventory/inventory.h"

#include <sqlite3.h>
#include <stdbool.h>

/* Statements that are run again and again are kept ready, for SQLite takes longer to prepare most
 * of them than to run them. */
#define DATABASE_READY_MAX 32

struct inventory {
    sqlite3 *connection;
    sqlite3_stmt *ready[DATABASE_READY_MAX]; /* NULL: a free place */
    int ready_next;                          /* the place whose turn it is to be freed */
    char path[INVENTORY_PATH_SIZE];
};

/* A value for a place (?) in a statement. */
struct bound {
    int type; /* SQLITE_TEXT, SQLITE_INTEGER, SQLITE_FLOAT or SQLITE_NULL */
    const char *text;
    long long integer;
    double real;
};

struct bound bound_text(const char *text); /* NULL binds NULL */
struct bound bound_integer(long long integer);
struct bound bound_real(double real);
struct bound bound_id(long long id); /* 0 binds NULL */
struct bound bound_time_seconds(const struct photo_time *time);
struct bound bound_time_offset(const struct photo_time *time);

/* A statement and its values. */
struct query {
    const char *sql;
    const struct bound *bound;
    int count;
};

/**
 * Teach the connection the SQL function fold(text): names that are the same are written alike.
 *
 * Returns: STATUS_OK; STATUS_INVENTORY; STATUS_MEMORY.
 */
MUST_USE enum status database_add_fold(struct inventory *inventory, struct error *error);

/**
 * Report SQLite's latest fault as `what` ("the readings can't be stored").
 *
 * Returns: STATUS_INVENTORY.
 */
enum status database_fail(struct inventory *inventory, const char *what, struct error *error);

/**
 * Run statements that return nothing and take no values.
 *
 * Returns: STATUS_OK; STATUS_INVENTORY; STATUS_MEMORY.
 */
MUST_USE enum status database_run(struct inventory *inventory, const char *sql,
                                  struct error *error);

/**
 * Prepare a statement and bind its values, which must outlive it.
 *
 * Owns: the caller finalizes `statement`, NULL on failure.
 * Returns: STATUS_OK; STATUS_INVENTORY; STATUS_MEMORY.
 */
MUST_USE enum status database_prepare(struct inventory *inventory, const struct query *query,
                                      sqlite3_stmt **statement, struct error *error);

/** Let go of the statements kept ready, and close the connection. */
void database_close(struct inventory *inventory);

/**
 * Run a statement that returns no row.
 *
 * Returns: STATUS_OK; STATUS_INVENTORY; STATUS_MEMORY.
 */
MUST_USE enum status database_execute(struct inventory *inventory, const struct query *query,
                                      struct error *error);

/**
 * Run a query for one integer; 0 if it has no row.
 *
 * Returns: STATUS_OK; STATUS_INVENTORY; STATUS_MEMORY.
 */
MUST_USE enum status database_lookup(struct inventory *inventory, const struct query *query,
                                     long long *integer, struct error *error);

/**
 * Run a query for one text; empty if it has no row. What does not fit is cut off.
 *
 * Returns: STATUS_OK; STATUS_INVENTORY; STATUS_MEMORY.
 */
MUST_USE enum status database_lookup_text(struct inventory *inventory, const struct query *query,
                                          char *text, size_t size, struct error *error);

/**
 * Step to the next row; `*row` false at the end.
 *
 * Returns: STATUS_OK; STATUS_INVENTORY; STATUS_MEMORY.
 */
MUST_USE enum status database_step(struct inventory *inventory, sqlite3_stmt *statement, bool *row,
                                   struct error *error);

/**
 * Take the right to write, waiting for other writers.
 *
 * Returns: STATUS_OK; STATUS_INVENTORY; STATUS_MEMORY.
 */
MUST_USE enum status database_begin(struct inventory *inventory, struct error *error);

/**
 * Commit if `status` is STATUS_OK, else undo; returns the first fault.
 *
 * Returns: `status`; STATUS_INVENTORY if it was STATUS_OK and can't be committed.
 */
MUST_USE enum status database_end(struct inventory *inventory, enum status status,
                                  struct error *error);

/* The steps that lead from an empty file to the present tables; SCHEMA_VERSION of them. */
#define SCHEMA_APPLICATION_ID 0x574F4144 /* "WOAD" */
extern const char *const schema_steps[];
extern const int schema_version;

#endif
