#ifndef WOAD_QUESTIONS_INK_PAST_H
#define WOAD_QUESTIONS_INK_PAST_H

#include "inventory/combinations.h"
#include "questions/dried.h"

/* What was seen of one ink until now: how its swatches dried, its batches, what it was blended
 * with. */

/* A batch as read last. */
struct ink_past_batch {
    const struct inventory_reading *last;
    size_t readings;
};

struct ink_past {
    struct inventory_readings readings; /* of all cells, which the other members point into */
    struct drying_set dried;            /* its swatches */
    struct ink_past_batch *batches;     /* that were told, the one begun last at the end */
    size_t batch_count;
    struct inventory_combinations combinations; /* all that are logged; ink_past_has tells which */
};

/**
 * Gather what was seen of an ink.
 *
 * Shape:   `name` as the inventory has it.
 * Owns:    the caller releases `past` with ink_past_release, also on failure.
 * Returns: STATUS_OK, with nothing for an ink that is not there; STATUS_INVENTORY; STATUS_MEMORY.
 */
MUST_USE enum status ink_past_load(struct inventory *inventory, const char *name,
                                   struct ink_past *past, struct error *error);
void ink_past_release(struct ink_past *past);

/** Whether a combination holds the ink. */
bool ink_past_has(const struct inventory_combination *combination, const char *name);

#endif
