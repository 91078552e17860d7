#ifndef WOAD_QUESTIONS_ORDERED_RANGE_H
#define WOAD_QUESTIONS_ORDERED_RANGE_H

#include "analysis/order.h"
#include "questions/families.h"
#include "questions/measured_range.h"

/* The range of an inventory in colour order, family by family. */
struct ordered_range {
    struct measured_range measured;
    struct families families;
    struct order order; /* of measured.inks; none of it if no ink has a colour */
    bool rough;         /* put into the order that is found at once */
};

/**
 * Load a range and put it in order, roughly if it has more than `finely_max` inks.
 *
 * Shape:   `given` the inventory, NULL: the usual one; `families` a file of the person's own, NULL:
 *          as measured; `finely_max` SIZE_MAX for whoever can wait.
 * Owns:    the caller releases `ordered` with ordered_range_release, also on failure.
 * Returns: STATUS_OK; STATUS_USAGE for too many inks; STATUS_INVENTORY; else as families_create.
 */
MUST_USE enum status ordered_range_load(const char *given, const char *families, size_t finely_max,
                                        struct ordered_range *ordered, struct error *error);

void ordered_range_release(struct ordered_range *ordered);

#endif
