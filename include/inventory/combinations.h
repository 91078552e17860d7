#ifndef WOAD_INVENTORY_COMBINATIONS_H
#define WOAD_INVENTORY_COMBINATIONS_H

#include "inventory/inventory.h"

/* The log of combinations made, and the test blends measured. */

#define INVENTORY_COMBINATION_INKS 5

/* An ordered run of inks; texts are NULL where nothing is told. */
struct inventory_combination {
    long long id;
    char *mood; /* "tonal" or "contrast" */
    char *note;
    struct photo_time made;
    size_t count;
    char *inks[INVENTORY_COMBINATION_INKS];
};

struct inventory_combinations {
    struct inventory_combination *items; /* by the time made */
    size_t count;
    size_t capacity;
};

/**
 * Log a combination; its `id` is not looked at.
 *
 * Returns: STATUS_OK; STATUS_INVENTORY, and then nothing was stored, also for
 *          an ink the inventory does not hold.
 */
MUST_USE enum status inventory_add_combination(struct inventory *inventory,
                                               const struct inventory_combination *combination,
                                               struct error *error);

/**
 * Refuse inks that are logged as a combination already, in whatever order.
 *
 * Returns: STATUS_OK; STATUS_USAGE with its number and time; STATUS_INVENTORY; STATUS_MEMORY.
 */
MUST_USE enum status inventory_refuse_logged(struct inventory *inventory, char *const *inks,
                                             size_t count, struct error *error);

/**
 * Read the log, but what was forgotten.
 *
 * Shape:   `since` the earliest to read; NULL: all.
 * Returns: STATUS_OK; STATUS_INVENTORY; STATUS_MEMORY.
 */
MUST_USE enum status inventory_read_combinations(struct inventory *inventory,
                                                 const struct photo_time *since,
                                                 struct inventory_combinations *combinations,
                                                 struct error *error);
void inventory_combinations_release(struct inventory_combinations *combinations);

/* --- test blends ---------------------------------------------------------------------------- */

/* One cell of a strip on which two inks were blended. */
struct inventory_blend_cell {
    double second_share; /* 0: the first ink alone, 1: the second */
    struct lab lab;
    double u95;
};

/* A strip as measured, from the first ink to the second. */
#define INVENTORY_STRIP_CELLS 16
struct inventory_strip {
    long long id;
    char *first;
    char *second;
    char *photo; /* its path when it was measured */
    char *hash;
    struct photo_time taken;
    size_t count;
    struct inventory_blend_cell cells[INVENTORY_STRIP_CELLS];
};

struct inventory_strips {
    struct inventory_strip *items; /* as they were stored */
    size_t count;
    size_t capacity;
};

/**
 * Store a strip, in one transaction.
 *
 * Returns: STATUS_OK; STATUS_INVENTORY, and then nothing was stored: the same
 *          photo's strip is there already, or an ink is not.
 */
MUST_USE enum status inventory_add_strip(struct inventory *inventory,
                                         const struct inventory_strip *strip, struct error *error);

MUST_USE enum status inventory_read_strips(struct inventory *inventory,
                                           struct inventory_strips *strips, struct error *error);
void inventory_strips_release(struct inventory_strips *strips);

#endif
