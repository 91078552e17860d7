#ifndef WOAD_INVENTORY_NAMING_H
#define WOAD_INVENTORY_NAMING_H

/* Private to src/inventory: names told late, or told anew. */

#include "database.h"
#include "inventory/changes.h"

/* Whom it is told of, as SQL about a row of photo, and about one of swatch; ?2 is the name. */
struct naming_of {
    const char *photos;
    const char *swatches;
};

/**
 * Give the swatches of the cells the inks that the names tell, and theirs to cells told blank; part
 * of a change that is begun.
 *
 * Returns: STATUS_OK; STATUS_INVENTORY if the names are of another number of cells, or look like
 *          slips.
 */
MUST_USE enum status naming_amend(struct inventory *inventory,
                                  const struct inventory_amendment *amendment,
                                  const struct naming_of *of, struct error *error);

#endif
