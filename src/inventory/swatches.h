#ifndef WOAD_INVENTORY_SWATCHES_H
#define WOAD_INVENTORY_SWATCHES_H

/* Private to src/inventory: the rows that every reading hangs on, found or added. */

#include "database.h"

/** The word the tables keep for where a time comes from. */
const char *swatches_time_source(const struct photo_time *time);

/*
 * Find a row, or add it.
 *
 * Returns: STATUS_OK; STATUS_INVENTORY; STATUS_MEMORY.
 */
MUST_USE enum status swatches_cell(struct inventory *inventory, long long chart_id,
                                   const struct reading *reading, long long *id,
                                   struct error *error);
MUST_USE enum status swatches_ink(struct inventory *inventory, const char *name, long long *id,
                                  struct error *error);

/**
 * The ink of the swatch last kept for a cell; 0: none yet, or it has no name.
 *
 * Returns: STATUS_OK; STATUS_INVENTORY; STATUS_MEMORY.
 */
MUST_USE enum status swatches_last_ink(struct inventory *inventory, long long cell_id,
                                       long long *ink_id, struct error *error);

/* What is told of a swatch; NULL, 0 and PHOTO_TIME_NONE: not told. */
struct swatch_told {
    long long cell_id;
    long long ink_id; /* 0: it has no name yet */
    const char *batch;
    const char *paper;
    struct photo_time inked_at;
};

/**
 * The swatch of a cell, a new one where what is told speaks against the last: see
 * inventory_store. One that waited for its name gets it.
 *
 * Returns: STATUS_OK; STATUS_INVENTORY; STATUS_MEMORY.
 */
MUST_USE enum status swatches_swatch(struct inventory *inventory, const struct swatch_told *told,
                                     long long *id, struct error *error);

/* What a reading belongs to; swatch_id 0: a cell left blank. */
struct reading_place {
    long long photo_id;
    long long cell_id;
    long long swatch_id;
};

/**
 * Add a reading.
 *
 * Returns: STATUS_OK; STATUS_INVENTORY; STATUS_MEMORY.
 */
MUST_USE enum status swatches_add_reading(struct inventory *inventory,
                                          const struct reading *reading,
                                          const struct reading_place *place, struct error *error);

#endif
