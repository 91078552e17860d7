#ifndef WOAD_INVENTORY_SWATCHES_H
#define WOAD_INVENTORY_SWATCHES_H

/* Private to src/inventory: the rows that every reading hangs on, found or added. */

#include "database.h"

/** The word the tables keep for where a time comes from. */
const char *swatches_time_source(const struct photo_time *time);

MUST_USE enum status swatches_cell(struct inventory *inventory, long long chart_id,
                                   const struct reading *reading, long long *id,
                                   struct error *error);
MUST_USE enum status swatches_ink(struct inventory *inventory, const char *name, long long *id,
                                  struct error *error);

/** The batch of an ink; 0 for no label (NULL). */
MUST_USE enum status swatches_batch(struct inventory *inventory, long long ink_id,
                                    const char *label, long long *id, struct error *error);

/**
 * The swatch of a cell, a new one where what is told speaks against the last: see inventory_store.
 *
 * Shape: `bound` are cell, ink, batch, paper, and the seconds and offset of the time of inking.
 */
MUST_USE enum status swatches_swatch(struct inventory *inventory, const struct bound bound[6],
                                     long long *id, struct error *error);

/* What a reading belongs to; swatch_id 0: a cell left blank. */
struct reading_place {
    long long photo_id;
    long long cell_id;
    long long swatch_id;
};

MUST_USE enum status swatches_add_reading(struct inventory *inventory,
                                          const struct reading *reading,
                                          const struct reading_place *place, struct error *error);

#endif
