#ifndef WOAD_OUTPUT_ORDER_ROWS_H
#define WOAD_OUTPUT_ORDER_ROWS_H

#include "analysis/range.h"
#include "base/error.h"
#include "output/table.h"

#include <stdbool.h>

/* A cell on a sheet as it is printed; `sheet` NULL: none. */
struct order_cell {
    const char *sheet;
    int row, column; /* from 1 */
    const char *label;
};

/* One ink with its place. */
struct order_row {
    int place;             /* in the order, from 1; 0: not counted */
    struct order_cell now; /* where it goes */
    struct order_cell was; /* where it is today */
    bool today;            /* whether today's sheets were told */
    const char *name;
    const struct range_ink *ink; /* NULL: its colour is not known */
    const char *family;          /* NULL: not known */
    double from_previous;        /* delta E 2000 from the ink before it; NAN: none */
};

/* What today's sheets let be said, and whether there are sheets at all. */
struct order_rows_kind {
    bool sheets;
    bool today;
    bool slot; /* only cells that change, no places counted */
};

/** Begin a table of an order. */
void order_rows_start(struct table *table, const struct order_rows_kind *kind);

/** Returns: STATUS_OK; STATUS_MEMORY. */
MUST_USE enum status order_rows_add(const struct order_row *row, struct table *table,
                                    struct error *error);

#endif
