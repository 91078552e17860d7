#ifndef WOAD_INVENTORY_CHANGES_H
#define WOAD_INVENTORY_CHANGES_H

#include "inventory/inventory.h"

/*
 * What sets right what the inventory was told wrongly. Readings stay as they
 * were taken; names, swatches and photos around them change, each change in one
 * transaction with its line in the log, and each can be taken back, the last first.
 */

#define INVENTORY_TOLD_SIZE 512

/** What was done, for a person: "renamed the ink 'Beetrot 12' to 'Beetroot 12'". */
struct inventory_told {
    char text[INVENTORY_TOLD_SIZE];
};

/**
 * Call an ink otherwise, on printed sheets too.
 *
 * Returns: STATUS_OK; STATUS_INVENTORY if there is no such ink, or one that has the name already.
 */
MUST_USE enum status inventory_rename(struct inventory *inventory, const char *from, const char *to,
                                      struct inventory_told *told, struct error *error);

/**
 * Hand an ink's swatches, batches, combinations and test blends over to another ink.
 *
 * Returns: STATUS_OK; STATUS_INVENTORY if one is not there, both are the same, or a test blend of
 *          the two is kept.
 */
MUST_USE enum status inventory_merge(struct inventory *inventory, const char *ink, const char *into,
                                     struct inventory_told *told, struct error *error);

enum inventory_thing { INVENTORY_PHOTO, INVENTORY_INK, INVENTORY_CHART, INVENTORY_COMBINATION };

/**
 * Leave the readings of a photo (by path, file name or hash), an ink or a chart (by name), or a
 * combination (by its number in the log) out of everything that is read back; they are kept.
 *
 * Returns: STATUS_OK; STATUS_INVENTORY if it is not there, or the name tells several photos.
 */
MUST_USE enum status inventory_forget(struct inventory *inventory, enum inventory_thing thing,
                                      const char *name, struct inventory_told *told,
                                      struct error *error);

/* What was told wrongly of a photo, or of a chart with all its photos; NULL and PHOTO_TIME_NONE
 * leave as it is. */
struct inventory_amendment {
    enum inventory_thing thing; /* INVENTORY_PHOTO or INVENTORY_CHART */
    const char *name;           /* a photo's path, file name or hash; a chart's name */
    const struct names *names;  /* of the chart's cells, blank ones without an ink */
    struct inventory_fresh fresh;
    const char *batch;
    const char *paper;
    struct photo_time inked_at;
    struct photo_time taken;
};

/** Returns: STATUS_OK; STATUS_INVENTORY as inventory_forget, or if the names are of another number
 * of cells, or look like slips. */
MUST_USE enum status inventory_amend(struct inventory *inventory,
                                     const struct inventory_amendment *amendment,
                                     struct inventory_told *told, struct error *error);

/**
 * Take back the last change that stands.
 *
 * Returns: STATUS_OK; STATUS_INVENTORY if there is none, or what came since stands against it.
 */
MUST_USE enum status inventory_undo(struct inventory *inventory, struct inventory_told *told,
                                    struct error *error);

/* A line of the log. */
struct inventory_change {
    char *told;
    struct photo_time made;
    struct photo_time undone; /* PHOTO_TIME_NONE: it stands */
};

struct inventory_changes {
    struct inventory_change *items; /* the newest first */
    size_t count;
};

/**
 * Read the log of changes.
 *
 * Returns: STATUS_OK; STATUS_INVENTORY; STATUS_MEMORY.
 */
MUST_USE enum status inventory_read_changes(struct inventory *inventory,
                                            struct inventory_changes *changes, struct error *error);
void inventory_changes_release(struct inventory_changes *changes);

#endif
