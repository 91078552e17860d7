#ifndef WOAD_INVENTORY_CHANGE_LOG_H
#define WOAD_INVENTORY_CHANGE_LOG_H

/* Private to src/inventory: changes with their lines in the log, and how each is taken back. The
 * caller holds the transaction. */

#include "database.h"
#include "inventory/changes.h"

#define CHANGE_SQL_SIZE 2048

/**
 * Begin a change: what follows is taken back with it.
 *
 * Returns: STATUS_OK; STATUS_INVENTORY; STATUS_MEMORY.
 */
MUST_USE enum status change_log_add(struct inventory *inventory, const struct inventory_told *told,
                                    struct error *error);

/* A column to set in some rows. In `value` and `where` ?1 is what is told and ?2 whom it is told
 * of. */
struct change_setting {
    const char *table, *column;
    const char *key, *key_value; /* what tells a row, and SQL that writes it down */
    const char *value, *where;
};

#define CHANGE_BY_ID "id", "id"
#define CHANGE_BY_POSITION                                                                         \
    "(combination_id, position)", "'(' || combination_id || ',' || position || ')'"
#define CHANGE_BY_CELL                                                                             \
    "(sheet_number, row, column)", "'(' || sheet_number || ',' || row || ',' || column || ')'"

/**
 * Write down, as a statement for each row, how it was; then set it.
 *
 * Returns: STATUS_OK; STATUS_INVENTORY; STATUS_MEMORY.
 */
MUST_USE enum status change_log_set(struct inventory *inventory,
                                    const struct change_setting *setting,
                                    const struct bound bound[2], struct error *error);
MUST_USE enum status change_log_set_all(struct inventory *inventory,
                                        const struct change_setting *settings, int count,
                                        const struct bound bound[2], struct error *error);

/**
 * Write down a statement of woad's own that takes back what was done besides.
 *
 * Returns: STATUS_OK; STATUS_INVENTORY; STATUS_MEMORY.
 */
MUST_USE enum status change_log_undo_by(struct inventory *inventory, const char *undo,
                                        struct error *error);

#endif
