#ifndef WOAD_OUTPUT_PRINT_SETUP_H
#define WOAD_OUTPUT_PRINT_SETUP_H

/* Measures of paper as they are told, and what is kept for printing by name. */

#include "inventory/print_setups.h"

#include <stdbool.h>

#define PAGE_SIDE_MAX_MM 1200

/* Two numbers as an option tells them: "110x65". */
struct pair_option {
    const char *name;
    const char *text;     /* NULL: not told */
    double low, high;     /* each is from low to high */
    const char *or_names; /* words that stand for pairs, as "a4 or "; NULL: none do */
};

/**
 * Read a pair; one that is not told leaves `pair` as it is.
 *
 * Returns: STATUS_OK; STATUS_USAGE.
 */
MUST_USE enum status print_setup_pair(const struct pair_option *option, struct point *pair,
                                      struct error *error);

/**
 * Read the page's size: "a4", "a5", "letter" or "WIDTHxHEIGHT"; A4 if not told.
 *
 * Returns: STATUS_OK; STATUS_USAGE.
 */
MUST_USE enum status print_setup_page(const char *text, bool landscape, struct point *page_mm,
                                      struct error *error);

/**
 * Read what the inventory keeps for printing.
 *
 * Owns:    the caller releases it with inventory_setups_release, also on failure.
 * Returns: STATUS_OK; STATUS_INVENTORY, also if there is no inventory; STATUS_MEMORY.
 */
MUST_USE enum status print_setup_load(const char *inventory, struct inventory_setups *setups,
                                      struct error *error);

/**
 * Open the inventory to keep or drop something, and make it if there is none.
 *
 * Owns:    the caller closes it with inventory_close.
 * Returns: STATUS_OK; STATUS_INVENTORY; STATUS_MEMORY.
 */
MUST_USE enum status print_setup_open(const char *told, struct inventory **inventory,
                                      struct error *error);

/**
 * Find the printer of a name.
 *
 * Returns: STATUS_OK; STATUS_INVENTORY, also if none is kept by it; STATUS_MEMORY.
 */
MUST_USE enum status print_setup_printer(const char *inventory, const char *name,
                                         struct inventory_printer *printer, struct error *error);

/**
 * Find a kind of labels: one that is built in, by its measures, or one kept by its name.
 *
 * Returns: STATUS_OK; STATUS_USAGE, with those there are; STATUS_INVENTORY; STATUS_MEMORY.
 */
MUST_USE enum status print_setup_stock(const char *inventory, const char *name,
                                       struct inventory_stock *stock, struct error *error);

#endif
