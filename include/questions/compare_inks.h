#ifndef WOAD_QUESTIONS_COMPARE_INKS_H
#define WOAD_QUESTIONS_COMPARE_INKS_H

#include "analysis/batches.h"
#include "analysis/difference.h"
#include "questions/range_load.h"
#include "values/interval.h"

/* Two inks of the range against each other, by the one colour that each has. */
struct compare_inks {
    struct range_ink inks[2];
    struct range_facts facts[2];
    struct difference difference; /* from the first to the second */
    struct interval delta_e;
    enum verdict verdict;
    bool same_photos; /* both were read in the same ones, whose error cancels */
};

/**
 * Compare two inks.
 *
 * Units:   `tolerance` the delta E 2000 that still counts as the same.
 * Returns: STATUS_OK; STATUS_INVENTORY if one is not there (with what is near) or has no colour;
 *          STATUS_MEMORY.
 */
MUST_USE enum status compare_inks_load(struct inventory *inventory, const char *const names[2],
                                       double tolerance, struct compare_inks *compared,
                                       struct error *error);

#endif
