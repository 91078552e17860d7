#ifndef WOAD_INVENTORY_BACKUP_H
#define WOAD_INVENTORY_BACKUP_H

#include "inventory/inventory.h"

/* The whole inventory to another file and back: readings, log and all. */

/* What a sound inventory holds. */
struct inventory_content {
    long long photos;   /* what was forgotten included */
    long long readings; /* of cells, the blank ones included */
    long long combinations;
};

/**
 * Check that the file is whole and that its rows belong together.
 *
 * Returns: STATUS_OK; STATUS_INVENTORY with the first fault.
 */
MUST_USE enum status inventory_verify(struct inventory *inventory,
                                      struct inventory_content *content, struct error *error);

/**
 * Write all of it to a new file, which appears whole or not at all; others may write meanwhile.
 *
 * Returns: STATUS_OK; STATUS_FILE if the file is there already or can't be written;
 *          STATUS_INVENTORY.
 */
MUST_USE enum status inventory_backup(struct inventory *inventory, const char *path,
                                      struct error *error);

/**
 * Put what a backup holds in place of what the inventory holds, all or nothing. The backup is only
 * read, and verified first; what is replaced is kept in a copy (PATH.copies).
 *
 * Shape:   `kept` becomes the path of what was replaced, empty if that held nothing. An inventory
 *          that is not there is made; one that an older woad made is brought up to date when it
 *          is opened next.
 * Returns: STATUS_OK; STATUS_FILE, STATUS_INVENTORY and STATUS_MEMORY, and then the inventory
 *          stands unchanged.
 */
MUST_USE enum status inventory_restore(const char *inventory_path, const char *path,
                                       char kept[INVENTORY_PATH_SIZE], struct error *error);

/**
 * Move the inventory: a whole copy at the new place, verified, and the old file put aside.
 *
 * Shape:   `kept` becomes where the old file lies now, in the folder of copies kept.
 * Returns: STATUS_OK; STATUS_FILE if the new file is there already or can't be written;
 *          STATUS_INVENTORY, also if somebody wrote meanwhile; then the inventory stands.
 */
MUST_USE enum status inventory_move(const char *inventory_path, const char *path,
                                    char kept[INVENTORY_PATH_SIZE], struct error *error);

#endif
