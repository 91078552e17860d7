#ifndef WOAD_INVENTORY_REVISION_H
#define WOAD_INVENTORY_REVISION_H

#include "inventory/inventory.h"

#define INVENTORY_REVISION_SIZE 128

/**
 * Tell the state the inventory is in: another text after each change, whoever made it, and the
 * same as long as there is none.
 *
 * Returns: STATUS_OK; STATUS_INVENTORY.
 */
MUST_USE enum status inventory_revision(struct inventory *inventory,
                                        char revision[INVENTORY_REVISION_SIZE],
                                        struct error *error);

#endif
