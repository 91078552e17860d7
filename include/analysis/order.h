#ifndef WOAD_ANALYSIS_ORDER_H
#define WOAD_ANALYSIS_ORDER_H

#include "analysis/path.h"
#include "analysis/range.h"
#include "base/error.h"

#include <stdbool.h>
#include <stddef.h>

/*
 * Colour order: families one after the other, and within each the shortest
 * path from ink to ink by delta E 2000, which is no metric: nothing here leans
 * on the triangle inequality.
 */
#define ORDER_INKS_MAX 2000 /* the table of all pairs is held in memory */

struct order_task {
    const struct range_ink *inks; /* every one has a colour */
    const size_t *family;         /* of each ink, below `families` */
    size_t count;                 /* 1 to ORDER_INKS_MAX */
    size_t families;
};

struct order_family {
    size_t first, count; /* its inks in the order */
    struct path path;
};

struct order {
    size_t *inks; /* in their order */
    size_t count;
    struct order_family *families; /* as in the task; some may have no ink */
    size_t family_count;
    double length; /* delta E 2000 of all steps, those between families too */
};

/**
 * Put inks in colour order.
 *
 * Families keep their order; each one's path is turned the way round that
 * makes the steps between families shortest.
 *
 * Owns:    the caller releases `order` with order_release.
 * Returns: STATUS_OK; STATUS_USAGE for too many inks; STATUS_MEMORY.
 */
MUST_USE enum status order_arrange(const struct order_task *task, struct order *order,
                                   struct error *error);

/**
 * Put inks in an order that is found at once, however many they are: family by family, within
 * each from light to dark. Its length and the families' paths are not looked for.
 *
 * Owns:    the caller releases `order` with order_release.
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status order_roughly(const struct order_task *task, struct order *order,
                                   struct error *error);

void order_release(struct order *order);

/* --- one more ink --------------------------------------------------------------------------- */

/* What a cell of today's sheets holds, else an ink of the task by its index. */
#define ORDER_BLANK (-1)
#define ORDER_COLOURLESS (-2) /* an ink whose colour is not known: it keeps its place */

struct order_slot {
    size_t at;           /* the cell the ink goes into; the number of cells: one behind them */
    long before, after;  /* its neighbours then: inks of the task, -1: none */
    double detour;       /* delta E 2000 that the path grows by */
    size_t blank;        /* the blank cell that takes up the moves; the number of cells: none */
    size_t moves;        /* how many cells change */
    double blank_detour; /* the least detour where no cell would move; not finite: none such */
    size_t blank_at;
};

/**
 * Find where an ink goes among cells that keep their order.
 *
 * It goes beside an ink of its family, if there is one, where it lengthens the
 * path least; the cells from there to the nearest blank one move up by one.
 *
 * Shape:   `cells` in reading order over all sheets.
 * Units:   `ink` an index into the task's inks.
 */
struct order_slot order_find_slot(const struct order_task *task, const long *cells, size_t count,
                                  size_t ink);

/** Write the cells as they are after slotting in; `slotted` has a cell more than `cells`. */
void order_apply_slot(const struct order_slot *slot, const long *cells, size_t count, long ink,
                      long *slotted);

#endif
