#ifndef WOAD_INVENTORY_PRINT_SETUPS_H
#define WOAD_INVENTORY_PRINT_SETUPS_H

#include "inventory/inventory.h"
#include "values/geometry.h"

#include <stddef.h>

/* What is kept for printing, by names of the person's own: printers and kinds of labels. */

#define SETUP_NAME_BYTES_MAX 60

/*
 * What a printer makes of a page. Millimetres from the paper's upper left
 * corner: what is drawn at p comes out at scale * p + front_mm, and on the back
 * of paper that it turns by itself at scale * p + back_mm.
 */
struct inventory_printer {
    char name[SETUP_NAME_BYTES_MAX + 1];
    struct point scale;
    struct point front_mm;
    struct point back_mm;
};

/* Labels as they stand on their page, in millimetres. */
struct inventory_stock {
    char name[SETUP_NAME_BYTES_MAX + 1];
    struct point page_mm;
    int rows, columns;
    struct point label_mm; /* width and height */
    struct point first_mm; /* upper left corner of the first */
    struct point pitch_mm; /* from label to label */
};

/* In the order of their names; a zeroed struct holds none. */
struct inventory_setups {
    struct inventory_printer *printers;
    size_t printer_count;
    struct inventory_stock *stocks;
    size_t stock_count;
};

/**
 * Keep a printer or a kind of labels; one kept before under that name, whatever its case, is
 * replaced.
 *
 * Returns: STATUS_OK; STATUS_USAGE for a name that is empty or too long; STATUS_INVENTORY;
 *          STATUS_MEMORY.
 */
MUST_USE enum status inventory_keep_printer(struct inventory *inventory,
                                            const struct inventory_printer *printer,
                                            struct error *error);
MUST_USE enum status inventory_keep_stock(struct inventory *inventory,
                                          const struct inventory_stock *stock, struct error *error);

/**
 * Drop what is kept under a name.
 *
 * Returns: STATUS_OK; STATUS_INVENTORY, also if nothing is; STATUS_MEMORY.
 */
MUST_USE enum status inventory_drop_printer(struct inventory *inventory, const char *name,
                                            struct error *error);
MUST_USE enum status inventory_drop_stock(struct inventory *inventory, const char *name,
                                          struct error *error);

/**
 * Read all that is kept.
 *
 * Owns:    the caller releases it with inventory_setups_release, also on failure.
 * Returns: STATUS_OK; STATUS_INVENTORY; STATUS_MEMORY.
 */
MUST_USE enum status inventory_read_setups(struct inventory *inventory,
                                           struct inventory_setups *setups, struct error *error);
void inventory_setups_release(struct inventory_setups *setups);

/**
 * Find what is kept under a name, whatever its case.
 *
 * Returns: STATUS_OK; STATUS_INVENTORY, with the names there are.
 */
MUST_USE enum status inventory_setups_printer(const struct inventory_setups *setups,
                                              const char *name,
                                              const struct inventory_printer **printer,
                                              struct error *error);

/** The same of labels; NULL if there are none of that name. */
const struct inventory_stock *inventory_setups_stock(const struct inventory_setups *setups,
                                                     const char *name);

#endif
