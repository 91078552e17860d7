#ifndef WOAD_QUESTIONS_MEASURED_RANGE_H
#define WOAD_QUESTIONS_MEASURED_RANGE_H

#include "questions/range_load.h"

#include <stddef.h>

/*
 * The range parted by what is known: inks with a colour, the thin parts of
 * inks, and inks without a colour. A swatch named "Juniper 1 (thin)" is a
 * lighter part of the ink "Juniper 1": it tells its undertone, and is no ink
 * that could stand in or be bought.
 */
struct measured_range {
    struct range range;
    struct range_ink *inks; /* with a colour, by name */
    size_t count;
    struct range_ink *thins;
    size_t thin_count;
    size_t without; /* inks without a colour */
};

/**
 * Load the range of an inventory (`given` NULL: the usual one).
 *
 * Owns:    the caller releases `measured` with measured_range_release.
 * Returns: STATUS_OK; STATUS_USAGE; STATUS_INVENTORY; STATUS_MEMORY.
 */
MUST_USE enum status measured_range_load(const char *given, struct measured_range *measured,
                                         struct error *error);

void measured_range_release(struct measured_range *measured);

/**
 * Find a named ink that has a colour.
 *
 * Returns: STATUS_OK; STATUS_INVENTORY if there is none of that name (with
 *          what is near), or it was never measured, or only wet.
 */
MUST_USE enum status measured_range_find(const struct measured_range *measured, const char *name,
                                         const struct range_ink **ink, struct error *error);

/** The thin part of an ink; NULL if none was measured. */
const struct range_ink *measured_range_thin(const struct measured_range *measured,
                                            const struct range_ink *ink);

#endif
