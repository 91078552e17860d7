#ifndef WOAD_INVENTORY_COLUMNS_H
#define WOAD_INVENTORY_COLUMNS_H

/* Private to src/inventory: what several columns of a row make up. */

#include "database.h"

/**
 * Copy a column's text, which the caller frees; NULL stays NULL.
 *
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status columns_text(sqlite3_stmt *row, int column, char **text, struct error *error);

/** L, a and b from `column` on. */
struct lab columns_lab(sqlite3_stmt *row, int column);

/** A time from its seconds at `column` and the offset behind them. */
struct photo_time columns_time(sqlite3_stmt *row, int column);

#endif
