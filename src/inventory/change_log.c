#include "change_log.h"

#include "base/memory.h"
#include "columns.h"
#include "values/calendar.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum status change_log_add(struct inventory *inventory, const struct inventory_told *told,
                           struct error *error)
{
    const struct photo_time now = calendar_now();
    const struct bound bound[] = {bound_text(told->text), bound_time_seconds(&now),
                                  bound_time_offset(&now)};
    const struct query insert = {
        "INSERT INTO change (told, made_utc_s, made_offset_min) VALUES (?, ?, ?)", bound,
        COUNT(bound)};

    return database_execute(inventory, &insert, error);
}

enum status change_log_set(struct inventory *inventory, const struct change_setting *setting,
                           const struct bound bound[2], struct error *error)
{
    char record[CHANGE_SQL_SIZE], update[CHANGE_SQL_SIZE];
    const struct query queries[] = {{record, bound, 2}, {update, bound, 2}};
    enum status status;

    snprintf(record, sizeof record,
             "INSERT INTO change_step (change_id, undo) SELECT (SELECT max(id) FROM change),"
             " 'UPDATE %s SET %s = ' || quote(%s) || ' WHERE %s = ' || %s FROM %s WHERE %s",
             setting->table, setting->column, setting->column, setting->key, setting->key_value,
             setting->table, setting->where);
    snprintf(update, sizeof update, "UPDATE %s SET %s = %s WHERE %s", setting->table,
             setting->column, setting->value, setting->where);
    status = database_execute(inventory, &queries[0], error);
    return status ? status : database_execute(inventory, &queries[1], error);
}

enum status change_log_set_all(struct inventory *inventory, const struct change_setting *settings,
                               int count, const struct bound bound[2], struct error *error)
{
    enum status status = STATUS_OK;

    for (int i = 0; !status && i < count; i++)
        status = change_log_set(inventory, &settings[i], bound, error);
    return status;
}

enum status change_log_undo_by(struct inventory *inventory, const char *undo, struct error *error)
{
    const struct bound bound = bound_text(undo);
    const struct query insert = {
        "INSERT INTO change_step (change_id, undo) SELECT max(id), ?1 FROM change", &bound, 1};

    return database_execute(inventory, &insert, error);
}

/* --- undo ----------------------------------------------------------------------------------- */

/* What a step says is SQL of this file's own; who can write another into the inventory could put
 * a trigger there as well. `stopped`: a name to bring back is there again. */
static enum status run_steps(struct inventory *inventory, long long change, bool *stopped,
                             struct error *error)
{
    const struct bound id = bound_integer(change);
    const struct query query = {"SELECT undo FROM change_step WHERE change_id = ? ORDER BY id DESC",
                                &id, 1};
    sqlite3_stmt *statement = NULL;
    bool row = true;
    enum status status = database_prepare(inventory, &query, &statement, error);

    *stopped = false;
    while (!status && row) {
        status = database_step(inventory, statement, &row, error);
        if (!status && row) {
            const struct query step = {(const char *)sqlite3_column_text(statement, 0), NULL, 0};

            status = database_execute(inventory, &step, error);
            *stopped = (sqlite3_errcode(inventory->connection) & 0xFF) == SQLITE_CONSTRAINT;
        }
    }
    sqlite3_finalize(statement);
    return status;
}

static enum status find_last(struct inventory *inventory, long long *change,
                             struct inventory_told *told, struct error *error)
{
    const struct query query = {"SELECT id, told FROM change WHERE undone_utc_s IS NULL"
                                " ORDER BY id DESC LIMIT 1",
                                NULL, 0};
    sqlite3_stmt *statement = NULL;
    bool row = false;
    enum status status = database_prepare(inventory, &query, &statement, error);

    if (!status)
        status = database_step(inventory, statement, &row, error);
    if (row) {
        *change = sqlite3_column_int64(statement, 0);
        snprintf(told->text, sizeof told->text, "%s", sqlite3_column_text(statement, 1));
    }
    sqlite3_finalize(statement);
    if (status || row)
        return status;
    return error_set(error, STATUS_INVENTORY,
                     "there is nothing to take back; 'woad history' lists what was changed");
}

static enum status take_back(struct inventory *inventory, long long change,
                             const struct inventory_told *told, struct error *error)
{
    const struct photo_time now = calendar_now();
    const struct bound bound[] = {bound_integer(change), bound_time_seconds(&now),
                                  bound_time_offset(&now)};
    const struct query undone = {
        "UPDATE change SET undone_utc_s = ?2, undone_offset_min = ?3 WHERE id = ?1", bound,
        COUNT(bound)};
    bool stopped;
    enum status status = run_steps(inventory, change, &stopped, error);

    if (status && stopped)
        return error_set(error, STATUS_INVENTORY,
                         "can't take back \"%.300s\": what came in since has the name it would "
                         "bring back; rename that first, with 'woad rename'",
                         told->text);
    return status ? status : database_execute(inventory, &undone, error);
}

enum status inventory_undo(struct inventory *inventory, struct inventory_told *told,
                           struct error *error)
{
    long long change = 0;
    enum status status = database_begin(inventory, error);

    if (status)
        return status;
    status = find_last(inventory, &change, told, error);
    if (!status)
        status = take_back(inventory, change, told, error);
    return database_end(inventory, status, error);
}

/* --- reading the log ------------------------------------------------------------------------ */

enum status inventory_read_changes(struct inventory *inventory, struct inventory_changes *changes,
                                   struct error *error)
{
    static const struct column columns[] = {
        COLUMN(struct inventory_change, told, "told"),
        COLUMN(struct inventory_change, made, "made_utc_s, made_offset_min, 'given'"),
        COLUMN(struct inventory_change, undone, "undone_utc_s, undone_offset_min, 'given'"),
        {0}};
    const struct selection selection = {.columns = columns,
                                        .after = "FROM change ORDER BY id DESC"};
    struct columns_list list = {.size = sizeof *changes->items, .what = "the changes"};
    enum status status = columns_read(inventory, &selection, &list, error);

    *changes = (struct inventory_changes){list.items, list.count};
    return status;
}

void inventory_changes_release(struct inventory_changes *changes)
{
    for (size_t i = 0; i < changes->count; i++)
        free(changes->items[i].told);
    free(changes->items);
    memset(changes, 0, sizeof *changes);
}
