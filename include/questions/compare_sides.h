#ifndef WOAD_QUESTIONS_COMPARE_SIDES_H
#define WOAD_QUESTIONS_COMPARE_SIDES_H

#include "analysis/batches.h"
#include "analysis/observation.h"
#include "base/error.h"
#include "inventory/inventory.h"

#include <stdbool.h>
#include <stddef.h>

/* The two sides of a comparison: batches, charts or sheets in photos. */

#define COMPARE_SIDES_NAME_SIZE 160

/* One ink of either side, with a reading for each of its swatches. */
struct compare_ink {
    char name[COMPARE_SIDES_NAME_SIZE];
    struct observation *swatches[2]; /* before, after */
    size_t count[2];
    const char *paper[2]; /* borrowed; NULL: not told */
    bool batches_mixed;   /* one side holds several batches of it */
    bool wet_left_out;
    bool apart_left_out; /* a photo has both sides: swatches in other photos do not count */
    bool age_unknown;
    bool asked;
};

/* The two sides. */
struct compare_sides {
    char name[2][COMPARE_SIDES_NAME_SIZE]; /* "batch 7", "chart spring", a photo's path */
    bool measured;                         /* from photos: of no known age */
    struct compare_ink *inks;
    size_t count;
    size_t capacity;
};

void compare_sides_release(struct compare_sides *sides);

/** Whether the two sides of an ink were made on different papers, as far as that was told. */
bool compare_sides_papers_differ(const struct compare_ink *ink);

/** Find an ink of the sides, or add it. NULL: STATUS_MEMORY. */
MUST_USE struct compare_ink *compare_sides_ink(struct compare_sides *sides, const char *name,
                                               struct error *error);

/**
 * Add a swatch's reading to one side of an ink.
 *
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status compare_sides_add(struct compare_ink *ink, int side,
                                       const struct observation *observation, struct error *error);

/* What is asked of the inventory. */
struct compare_question {
    const char *ink;      /* NULL: every ink that both sides have */
    bool batches;         /* the sides are batches, else charts */
    const char *names[2]; /* of the two */
};

/** List the batches, or the charts, that some readings are of: "6, 7, 8". */
#define COMPARE_SIDES_LIST_SIZE 400
void compare_sides_list(const struct inventory_readings *all, bool batches,
                        char list[COMPARE_SIDES_LIST_SIZE]);

/**
 * Fill the sides from the inventory: two batches or two charts, of one ink or of all.
 *
 * Owns:    the caller releases `sides` with compare_sides_release; papers point into `all`.
 * Returns: STATUS_OK; STATUS_INVENTORY if a batch, a chart or the ink is not there; STATUS_MEMORY.
 */
MUST_USE enum status compare_sides_load(const struct inventory_readings *all,
                                        const struct compare_question *question,
                                        struct compare_sides *sides, struct error *error);

/**
 * Judge each ink of the sides.
 *
 * Owns, Returns: as batches_compare.
 */
MUST_USE enum status compare_sides_judge(const struct compare_sides *sides,
                                         const struct batches_question *question,
                                         struct batches *batches, struct error *error);

#endif
