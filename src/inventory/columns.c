#include "columns.h"

#include "base/memory.h"
#include "base/text.h"
#include "measurement/words.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define COVARIANCE_COLUMNS 6

/* --- one value -------------------------------------------------------------------------------- */

static enum status read_text(sqlite3_stmt *row, int at, char **text, struct error *error)
{
    const char *found = (const char *)sqlite3_column_text(row, at);

    *text = NULL;
    if (sqlite3_column_type(row, at) == SQLITE_NULL)
        return STATUS_OK;
    if (found)
        *text = text_copy(found, error);
    else
        error_set(error, STATUS_MEMORY, "out of memory: no room for a text of the inventory");
    return *text ? STATUS_OK : error->status;
}

/* A word of a short list; an empty one where there is none. */
static const char *word_at(sqlite3_stmt *row, int at)
{
    const char *word = (const char *)sqlite3_column_text(row, at);

    return word ? word : "";
}

static enum photo_time_source source_from_word(const char *word)
{
    if (!*word || strcmp(word, "none") == 0)
        return PHOTO_TIME_NONE;
    if (strcmp(word, "exif") == 0)
        return PHOTO_TIME_EXIF;
    return strcmp(word, "file") == 0 ? PHOTO_TIME_FILE : PHOTO_TIME_GIVEN;
}

static struct photo_time read_time(sqlite3_stmt *row, int at)
{
    struct photo_time time = {.source = PHOTO_TIME_NONE};

    if (sqlite3_column_type(row, at) == SQLITE_NULL)
        return time;
    time.source = source_from_word(word_at(row, at + 2));
    time.utc_seconds = sqlite3_column_int64(row, at);
    time.offset_minutes = sqlite3_column_int(row, at + 1);
    time.offset_known = true;
    return time;
}

static void read_covariance(sqlite3_stmt *row, int at, double covariance[9])
{
    static const int place[9] = {0, 1, 2, 1, 3, 4, 2, 4, 5};

    for (int i = 0; i < 9; i++)
        covariance[i] = sqlite3_column_double(row, at + place[i]);
}

/* How many expressions a kind takes. */
static int width_of(enum column_kind kind)
{
    switch (kind) {
    case COLUMN_IS_POINT:
        return 2;
    case COLUMN_IS_LAB:
    case COLUMN_IS_TIME:
        return 3;
    case COLUMN_IS_COVARIANCE:
        return COVARIANCE_COLUMNS;
    default:
        return 1;
    }
}

/* One number or more. */
static void read_numbers(sqlite3_stmt *row, int at, const struct column *column, void *member)
{
    switch (column->kind) {
    case COLUMN_IS_INTEGER:
        *(int *)member = sqlite3_column_int(row, at);
        break;
    case COLUMN_IS_UNSIGNED:
        *(unsigned *)member = (unsigned)sqlite3_column_int(row, at);
        break;
    case COLUMN_IS_ID:
        *(long long *)member = sqlite3_column_int64(row, at);
        break;
    case COLUMN_IS_YES:
        *(bool *)member = sqlite3_column_int(row, at) != 0;
        break;
    case COLUMN_IS_POINT:
        *(struct point *)member =
            (struct point){sqlite3_column_double(row, at), sqlite3_column_double(row, at + 1)};
        break;
    case COLUMN_IS_LAB:
        *(struct lab *)member =
            (struct lab){sqlite3_column_double(row, at), sqlite3_column_double(row, at + 1),
                         sqlite3_column_double(row, at + 2)};
        break;
    case COLUMN_IS_COVARIANCE:
        read_covariance(row, at, member);
        break;
    default:
        *(double *)member = sqlite3_column_double(row, at);
    }
}

static enum status read_value(sqlite3_stmt *row, int at, const struct column *column, void *member,
                              struct error *error)
{
    switch (column->kind) {
    case COLUMN_IS_TEXT:
        return read_text(row, at, member, error);
    case COLUMN_IS_NAME:
        snprintf(member, column->size, "%s", word_at(row, at));
        break;
    case COLUMN_IS_FOUND:
        *(enum cell_found *)member = words_to_found(word_at(row, at));
        break;
    case COLUMN_IS_TIME:
        *(struct photo_time *)member = read_time(row, at);
        break;
    default:
        read_numbers(row, at, column, member);
    }
    return STATUS_OK;
}

/* --- rows ------------------------------------------------------------------------------------- */

static enum status read_row(sqlite3_stmt *statement, const struct column *columns, void *row,
                            struct error *error)
{
    enum status status = STATUS_OK;
    int at = 0;

    for (const struct column *column = columns; !status && column->sql; column++) {
        status = read_value(statement, at, column, (char *)row + column->offset, error);
        at += width_of(column->kind);
    }
    return status;
}

static void free_texts(const struct column *columns, void *row)
{
    for (const struct column *column = columns; column->sql; column++)
        if (column->kind == COLUMN_IS_TEXT) {
            char **text = (char **)(void *)((char *)row + column->offset);

            free(*text);
            *text = NULL;
        }
}

static enum status write_sql(const struct selection *selection, struct text *sql,
                             struct error *error)
{
    enum status status =
        text_add(sql, error, "%s SELECT ", selection->before ? selection->before : "");

    for (const struct column *column = selection->columns; !status && column->sql; column++)
        status =
            text_add(sql, error, "%s%s", column == selection->columns ? "" : ", ", column->sql);
    return status ? status : text_add(sql, error, " %s", selection->after);
}

static enum status give_rows(struct inventory *inventory, const struct query *query,
                             const struct column *columns, const struct columns_taker *taker,
                             struct error *error)
{
    sqlite3_stmt *statement = NULL;
    bool row = true;
    enum status status = database_prepare(inventory, query, &statement, error);

    while (!status && row) {
        status = database_step(inventory, statement, &row, error);
        if (status || !row)
            continue;
        memset(taker->row, 0, taker->size);
        status = read_row(statement, columns, taker->row, error);
        if (!status)
            status = taker->take(taker->context, taker->row, error);
        if (status)
            free_texts(columns, taker->row);
    }
    sqlite3_finalize(statement);
    return status;
}

enum status columns_each(struct inventory *inventory, const struct selection *selection,
                         const struct columns_taker *taker, struct error *error)
{
    struct text sql = {0};
    enum status status = write_sql(selection, &sql, error);

    if (!status) {
        const struct query query = {sql.bytes, selection->bound, selection->bound_count};

        status = give_rows(inventory, &query, selection->columns, taker, error);
    }
    text_release(&sql);
    return status;
}

/* --- lists ------------------------------------------------------------------------------------ */

static enum status add_row(void *context, void *row, struct error *error)
{
    struct columns_list *list = context;

    if (list->count == list->capacity) {
        void *grown = memory_grow(list->items, &list->capacity, list->size, list->what, error);

        if (!grown)
            return error->status;
        list->items = grown;
    }
    memcpy((char *)list->items + list->count++ * list->size, row, list->size);
    return STATUS_OK;
}

enum status columns_read(struct inventory *inventory, const struct selection *selection,
                         struct columns_list *list, struct error *error)
{
    void *row = memory_array(1, list->size, list->what, error);
    const struct columns_taker taker = {row, list->size, add_row, list};
    enum status status = row ? columns_each(inventory, selection, &taker, error) : error->status;

    free(row);
    if (!status)
        return STATUS_OK;
    for (size_t i = 0; i < list->count; i++)
        free_texts(selection->columns, (char *)list->items + i * list->size);
    free(list->items);
    list->items = NULL;
    list->count = list->capacity = 0;
    return status;
}
