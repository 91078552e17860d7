#include "database.h"

#include "base/utf8.h"

#include <stddef.h>
#include <stdio.h>
#include <string.h>

struct bound bound_text(const char *text)
{
    return (struct bound){text ? SQLITE_TEXT : SQLITE_NULL, text, 0, 0};
}

struct bound bound_integer(long long integer)
{
    return (struct bound){SQLITE_INTEGER, NULL, integer, 0};
}

struct bound bound_real(double real)
{
    return (struct bound){SQLITE_FLOAT, NULL, 0, real};
}

struct bound bound_id(long long id)
{
    return (struct bound){id ? SQLITE_INTEGER : SQLITE_NULL, NULL, id, 0};
}

struct bound bound_time_seconds(const struct photo_time *time)
{
    bool known = time->source != PHOTO_TIME_NONE;

    return (struct bound){known ? SQLITE_INTEGER : SQLITE_NULL, NULL, time->utc_seconds, 0};
}

struct bound bound_time_offset(const struct photo_time *time)
{
    bool known = time->source != PHOTO_TIME_NONE;

    return (struct bound){known ? SQLITE_INTEGER : SQLITE_NULL, NULL, time->offset_minutes, 0};
}

#define FOLDED_SIZE 1024

/* What is too long for a name, or no text, is left as it is. */
static void fold(sqlite3_context *context, int count, sqlite3_value **values)
{
    const char *text = (const char *)sqlite3_value_text(values[0]);
    char folded[FOLDED_SIZE];

    (void)count;
    if (text && utf8_fold(text, folded, sizeof folded))
        sqlite3_result_text(context, folded, -1, SQLITE_TRANSIENT);
    else
        sqlite3_result_value(context, values[0]);
}

enum status database_add_fold(struct inventory *inventory, struct error *error)
{
    if (sqlite3_create_function(inventory->connection, "fold", 1,
                                SQLITE_UTF8 | SQLITE_DETERMINISTIC, NULL, fold, NULL,
                                NULL) != SQLITE_OK)
        return database_fail(inventory, "the inventory can't be opened", error);
    return STATUS_OK;
}

/* What the user can do about SQLite's fault. */
static const char *advice(int code)
{
    switch (code & 0xFF) {
    case SQLITE_BUSY:
    case SQLITE_LOCKED:
        return "another program has been writing to it for long; try again when it is done";
    case SQLITE_READONLY:
    case SQLITE_CANTOPEN:
    case SQLITE_PERM:
    case SQLITE_AUTH:
        return "check that you may write the file and its folder, or name another with --inventory";
    case SQLITE_FULL:
    case SQLITE_IOERR:
        return "check that the disk has room and is sound";
    case SQLITE_NOTADB:
    case SQLITE_CORRUPT:
        return "the file is damaged or no inventory; take a copy of it and name another with "
               "--inventory";
    default:
        return "nothing was changed";
    }
}

enum status database_fail(struct inventory *inventory, const char *what, struct error *error)
{
    int code = sqlite3_errcode(inventory->connection);

    if (code == SQLITE_NOMEM)
        return error_set(error, STATUS_MEMORY, "%s: %s: out of memory", inventory->path, what);
    return error_set(error, STATUS_INVENTORY, "%s: %s (%s): %s", inventory->path, what,
                     sqlite3_errmsg(inventory->connection), advice(code));
}

enum status database_run(struct inventory *inventory, const char *sql, struct error *error)
{
    if (sqlite3_exec(inventory->connection, sql, NULL, NULL, NULL) != SQLITE_OK)
        return database_fail(inventory, "the inventory can't be used", error);
    return STATUS_OK;
}

static int bind_one(sqlite3_stmt *statement, int place, const struct bound *bound)
{
    switch (bound->type) {
    case SQLITE_TEXT:
        return sqlite3_bind_text(statement, place, bound->text, -1, SQLITE_STATIC);
    case SQLITE_INTEGER:
        return sqlite3_bind_int64(statement, place, bound->integer);
    case SQLITE_FLOAT:
        return sqlite3_bind_double(statement, place, bound->real);
    default:
        return sqlite3_bind_null(statement, place);
    }
}

/* On failure the statement is gone. */
static enum status bind_all(struct inventory *inventory, const struct query *query, int code,
                            sqlite3_stmt **statement, struct error *error)
{
    for (int i = 0; code == SQLITE_OK && i < query->count; i++)
        code = bind_one(*statement, i + 1, &query->bound[i]);
    if (code == SQLITE_OK)
        return STATUS_OK;
    database_fail(inventory, "the inventory can't be asked", error);
    sqlite3_finalize(*statement);
    *statement = NULL;
    return error->status;
}

enum status database_prepare(struct inventory *inventory, const struct query *query,
                             sqlite3_stmt **statement, struct error *error)
{
    int code = sqlite3_prepare_v2(inventory->connection, query->sql, -1, statement, NULL);

    return bind_all(inventory, query, code, statement, error);
}

/* --- statements kept ready ------------------------------------------------------------------ */

/* One that is kept is taken out of its place while it runs. */
static enum status take_ready(struct inventory *inventory, const struct query *query,
                              sqlite3_stmt **statement, struct error *error)
{
    int code = SQLITE_OK;

    *statement = NULL;
    for (int i = 0; i < DATABASE_READY_MAX && !*statement; i++) {
        sqlite3_stmt *ready = inventory->ready[i];

        if (ready && strcmp(sqlite3_sql(ready), query->sql) == 0) {
            *statement = ready;
            inventory->ready[i] = NULL;
        }
    }
    if (!*statement)
        code = sqlite3_prepare_v3(inventory->connection, query->sql, -1, SQLITE_PREPARE_PERSISTENT,
                                  statement, NULL);
    return bind_all(inventory, query, code, statement, error);
}

/* Its values are let go of, for they live no longer. */
static void put_back(struct inventory *inventory, sqlite3_stmt *statement)
{
    int place = -1;

    if (!statement)
        return;
    sqlite3_reset(statement);
    sqlite3_clear_bindings(statement);
    for (int i = 0; i < DATABASE_READY_MAX && place < 0; i++)
        place = inventory->ready[i] ? -1 : i;
    if (place < 0) {
        place = inventory->ready_next;
        inventory->ready_next = (place + 1) % DATABASE_READY_MAX;
        sqlite3_finalize(inventory->ready[place]);
    }
    inventory->ready[place] = statement;
}

void database_close(struct inventory *inventory)
{
    for (int i = 0; i < DATABASE_READY_MAX; i++) {
        sqlite3_finalize(inventory->ready[i]);
        inventory->ready[i] = NULL;
    }
    sqlite3_close(inventory->connection);
    inventory->connection = NULL;
}

/* --- running -------------------------------------------------------------------------------- */

enum status database_step(struct inventory *inventory, sqlite3_stmt *statement, bool *row,
                          struct error *error)
{
    int code = sqlite3_step(statement);

    *row = code == SQLITE_ROW;
    if (code == SQLITE_ROW || code == SQLITE_DONE)
        return STATUS_OK;
    return database_fail(inventory, "the inventory can't be read or written", error);
}

enum status database_execute(struct inventory *inventory, const struct query *query,
                             struct error *error)
{
    sqlite3_stmt *statement = NULL;
    bool row = false;
    enum status status = take_ready(inventory, query, &statement, error);

    if (!status)
        status = database_step(inventory, statement, &row, error);
    put_back(inventory, statement);
    return status;
}

enum status database_lookup(struct inventory *inventory, const struct query *query,
                            long long *integer, struct error *error)
{
    sqlite3_stmt *statement = NULL;
    bool row = false;
    enum status status = take_ready(inventory, query, &statement, error);

    *integer = 0;
    if (!status)
        status = database_step(inventory, statement, &row, error);
    if (row)
        *integer = sqlite3_column_int64(statement, 0);
    put_back(inventory, statement);
    return status;
}

enum status database_lookup_text(struct inventory *inventory, const struct query *query, char *text,
                                 size_t size, struct error *error)
{
    sqlite3_stmt *statement = NULL;
    bool row = false;
    enum status status = take_ready(inventory, query, &statement, error);

    text[0] = '\0';
    if (!status)
        status = database_step(inventory, statement, &row, error);
    if (row)
        snprintf(text, size, "%s", (const char *)sqlite3_column_text(statement, 0));
    put_back(inventory, statement);
    return status;
}

enum status database_begin(struct inventory *inventory, struct error *error)
{
    return database_run(inventory, "BEGIN IMMEDIATE", error);
}

enum status database_end(struct inventory *inventory, enum status status, struct error *error)
{
    struct error ignored;

    if (!status)
        status = database_run(inventory, "COMMIT", error);
    if (status && !sqlite3_get_autocommit(inventory->connection) &&
        database_run(inventory, "ROLLBACK", &ignored))
        return status; /* closing the connection undoes it as well */
    return status;
}
