#ifndef WOAD_INVENTORY_KNOWN_NAMES_H
#define WOAD_INVENTORY_KNOWN_NAMES_H

#include "files/names.h"
#include "inventory/inventory.h"

/*
 * What a name that comes in means to the inventory. Case, outer and doubled spaces and how accents
 * are coded make no other name; a new one that looks like a slip of a known one is not taken before
 * a person says that it is meant (struct inventory_fresh).
 */
enum known_kind { KNOWN_INK, KNOWN_CHART, KNOWN_BATCH };

#define KNOWN_NAME_SIZE 512

/**
 * Write a name as the inventory spells it, or tidied if it knows none that is the same.
 *
 * Returns: STATUS_OK; STATUS_INVENTORY; STATUS_MEMORY.
 */
MUST_USE enum status known_names_spelling(struct inventory *inventory, enum known_kind kind,
                                          const char *name, char spelling[KNOWN_NAME_SIZE],
                                          struct error *error);

/* What is told of a sheet; NULL: not told. */
struct known_naming {
    const struct names *names;
    const char *chart;
    const char *batch;
    struct inventory_fresh fresh;
};

/**
 * Refuse new names that look like slips of known ones.
 *
 * Returns: STATUS_OK; STATUS_INVENTORY, with what was probably meant.
 */
MUST_USE enum status known_names_check(struct inventory *inventory,
                                       const struct known_naming *naming, struct error *error);

/**
 * Refuse an ink's name that looks like a slip of one of the inks with ids up to `newest`.
 *
 * Returns: STATUS_OK; STATUS_USAGE with the ink it may be; STATUS_INVENTORY; STATUS_MEMORY.
 */
MUST_USE enum status known_names_check_ink(struct inventory *inventory, const char *name,
                                           long long newest, struct error *error);

#endif
