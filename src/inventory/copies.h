#ifndef WOAD_INVENTORY_COPIES_H
#define WOAD_INVENTORY_COPIES_H

/* Private to src/inventory: whole copies of its file, and those that are kept beside it before
 * anything is changed that a person might want back. */

#include "database.h"

/**
 * Write all of it to a new file, which appears whole or not at all. No transaction may be open.
 *
 * Returns: STATUS_OK; STATUS_FILE if the file is there already or can't be written.
 */
MUST_USE enum status copies_write(struct inventory *inventory, const char *path,
                                  struct error *error);

/**
 * Keep a copy in the folder PATH.copies, named by its time; copies older than 30 days go, the
 * newest three always stay. Nothing is kept of an inventory that holds nothing.
 *
 * Shape:   `kept` becomes the copy's path, or empty.
 * Returns: STATUS_OK; STATUS_FILE if it can't be written; STATUS_INVENTORY.
 */
MUST_USE enum status copies_keep(struct inventory *inventory, char kept[INVENTORY_PATH_SIZE],
                                 struct error *error);

/**
 * Where the next copy is to be kept, its folder made.
 *
 * Returns: STATUS_OK; STATUS_FILE if the folder can't be made or the path is too long.
 */
MUST_USE enum status copies_place(const char *inventory_path, char kept[INVENTORY_PATH_SIZE],
                                  struct error *error);

#endif
