#include "columns.h"

#include "base/text.h"

#include <stddef.h>

enum status columns_text(sqlite3_stmt *row, int column, char **text, struct error *error)
{
    const char *found = (const char *)sqlite3_column_text(row, column);

    *text = NULL;
    if (sqlite3_column_type(row, column) == SQLITE_NULL)
        return STATUS_OK;
    if (found)
        *text = text_copy(found, error);
    else
        error_set(error, STATUS_MEMORY, "out of memory: no room for a text of the inventory");
    return *text ? STATUS_OK : error->status;
}

struct lab columns_lab(sqlite3_stmt *row, int column)
{
    return (struct lab){sqlite3_column_double(row, column), sqlite3_column_double(row, column + 1),
                        sqlite3_column_double(row, column + 2)};
}

struct photo_time columns_time(sqlite3_stmt *row, int column)
{
    struct photo_time time = {PHOTO_TIME_NONE, 0, 0, false};

    if (sqlite3_column_type(row, column) == SQLITE_NULL)
        return time;
    time.source = PHOTO_TIME_GIVEN;
    time.utc_seconds = sqlite3_column_int64(row, column);
    time.offset_minutes = sqlite3_column_int(row, column + 1);
    time.offset_known = true;
    return time;
}
