#ifndef WOAD_OUTPUT_PALETTE_H
#define WOAD_OUTPUT_PALETTE_H

#include "base/error.h"
#include "questions/ordered_range.h"

#include <stdbool.h>
#include <stdio.h>

/* The range's colours as drawing programs read them. */
enum palette_format {
    PALETTE_GPL,  /* a GIMP palette: sRGB; names of colours it had to clip end in " *" */
    PALETTE_CSS,  /* a style sheet: a variable an ink, lab() where it is known, sRGB where not */
    PALETTE_SVG,  /* a drawing: a named square an ink, sRGB */
    PALETTE_CGATS /* measured values: CIELAB, D50, with their standard deviations */
};

/** Tell a format by its word, "gpl", "css", "svg" or "cgats"; false: it is none of them. */
bool palette_format_of(const char *word, enum palette_format *format);

/**
 * Write the inks that have a colour, in colour order.
 *
 * Returns: STATUS_OK; STATUS_MEMORY. The stream's failure is its owner's to look for.
 * Source:  GIMP's palette format (GPL); CSS Color 4, section 9 (lab() is CIELAB of D50); SVG 1.1;
 *          ANSI CGATS.17 and ISO 28178, whose STDEV_L, STDEV_A, STDEV_B are standard deviations.
 */
MUST_USE enum status palette_write(const struct ordered_range *ordered, enum palette_format format,
                                   FILE *out, struct error *error);

#endif
