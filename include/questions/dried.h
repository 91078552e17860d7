#ifndef WOAD_QUESTIONS_DRIED_H
#define WOAD_QUESTIONS_DRIED_H

#include "analysis/drying.h"
#include "analysis/observation.h"
#include "analysis/steady.h"
#include "inventory/inventory.h"
#include "questions/kept.h"

/* One swatch with its readings by time and what they say of its drying. */
struct drying_swatch {
    const struct inventory_reading *kept; /* its first reading, for ink, chart, cell, batch */
    size_t first, count;                  /* its readings among those of the set */
    size_t places_from, places_to;        /* all its readings, as dried_load orders them */
    struct steady steady;
    struct drying drying;
    bool undated; /* a reading of unknown time was left out */
};

struct drying_set {
    struct drying_swatch *swatches; /* by ink, chart and cell, as the inventory lists them */
    size_t count;
    const struct drying_swatch **by_id; /* the same by their swatch's id */
    struct observation *readings;       /* as taken */
    struct observation *steadied; /* the photos' shared errors taken off, as far as that goes */
    size_t reading_count;
};

/* Which swatches are asked for. */
struct dried_question {
    const struct kept_filter *filter; /* NULL: all */
    bool fits_only; /* only those read often enough for a fit to tell when they are dry */
};

/**
 * Fit the drying of the swatches a question asks for.
 *
 * Shape:   `all` are the readings of all cells of the inventory: cells that
 *          did not move steady the others.
 * Owns:    the caller releases `set` with dried_release; it points into `all`.
 * Returns: STATUS_OK, with none for a filter that lets none pass; STATUS_MEMORY.
 */
MUST_USE enum status dried_load(const struct inventory_readings *all,
                                const struct dried_question *question, struct drying_set *set,
                                struct error *error);
void dried_release(struct drying_set *set);

/** From when on a swatch is dry by its fit; false where the fit does not bound that. */
bool dried_settled_from(const struct drying *drying, int64_t *settled_s);

/** What is known of a swatch's drying; NULL: it was not asked for. */
const struct drying_swatch *dried_find(const struct drying_set *set, int64_t swatch);

/** Note on a reading of the set's swatches from when on its swatch is dry, if a fit tells. */
void dried_note(const struct drying_set *set, struct observation *observation);

#endif
