#ifndef WOAD_OUTPUT_PALETTE_CGATS_H
#define WOAD_OUTPUT_PALETTE_CGATS_H

#include "output/palette.h"

/**
 * Write the range as CGATS text.
 *
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status palette_cgats_write(const struct ordered_range *ordered, FILE *out,
                                         struct error *error);

#endif
