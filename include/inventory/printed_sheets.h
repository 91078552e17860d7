#ifndef WOAD_INVENTORY_PRINTED_SHEETS_H
#define WOAD_INVENTORY_PRINTED_SHEETS_H

#include "files/names.h"
#include "inventory/inventory.h"
#include "location/printed_chart.h"

/* A chart that was printed: what its tags stand for. */
struct inventory_sheet {
    int number;   /* that its tags tell; given by inventory_add_sheet */
    int printing; /* from 1: how often a sheet of that title and page was printed; given too */
    char *title;
    int page; /* of its title's pages, from 1 */
    struct printed_chart chart;
    struct names names;
    struct photo_time made;
};

/**
 * Keep a printed sheet and give it its number.
 *
 * Returns: STATUS_OK; STATUS_INVENTORY if it can't be stored or all numbers are given.
 */
MUST_USE enum status inventory_add_sheet(struct inventory *inventory, struct inventory_sheet *sheet,
                                         struct error *error);

/**
 * Read back the sheet of a number; its number is 0 if there is none.
 *
 * Owns:    the caller releases it with inventory_sheet_release.
 * Returns: STATUS_OK; STATUS_INVENTORY; STATUS_MEMORY.
 */
MUST_USE enum status inventory_read_sheet(struct inventory *inventory, int number,
                                          struct inventory_sheet *sheet, struct error *error);

void inventory_sheet_release(struct inventory_sheet *sheet);

#endif
