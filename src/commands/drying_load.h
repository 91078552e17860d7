#ifndef WOAD_COMMANDS_DRYING_LOAD_H
#define WOAD_COMMANDS_DRYING_LOAD_H

#include "analysis/drying.h"
#include "analysis/observation.h"
#include "analysis/steady.h"
#include "range_load.h"
#include "inventory/inventory.h"

/* One swatch with its readings by time and what they say of its drying. */
struct drying_swatch {
    const struct inventory_reading *kept; /* its first reading, for ink, chart, cell, batch */
    size_t first, count;                  /* its readings among those of the set */
    struct steady steady;
    struct drying drying;
    bool undated; /* a reading of unknown time was left out */
};

struct drying_set {
    struct drying_swatch *swatches; /* by ink, chart and cell, as the inventory lists them */
    size_t count;
    struct observation *readings; /* as taken */
    struct observation *steadied; /* the photos' shared errors taken off, as far as that goes */
    size_t reading_count;
};

/**
 * Fit the drying of the swatches a filter lets pass.
 *
 * Shape:   `all` are the readings of all cells of the inventory: cells that
 *          did not move steady the others.
 * Owns:    the caller releases `set` with drying_release; it points into `all`.
 * Returns: STATUS_OK, with none for a filter that lets none pass; STATUS_MEMORY.
 */
MUST_USE enum status drying_load(const struct inventory_readings *all,
                                 const struct range_filter *filter, struct drying_set *set,
                                 struct error *error);
void drying_release(struct drying_set *set);

/** From when on a swatch is dry by its fit; false where the fit does not bound that. */
bool drying_settled_from(const struct drying *drying, int64_t *settled_s);

/** Note on a reading of the set's swatches from when on its swatch is dry, if a fit tells. */
void drying_note_settled(const struct drying_set *set, struct observation *observation);

#endif
