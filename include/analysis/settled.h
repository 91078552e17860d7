#ifndef WOAD_ANALYSIS_SETTLED_H
#define WOAD_ANALYSIS_SETTLED_H

#include "analysis/observation.h"
#include "analysis/range.h"
#include <stddef.h>

/* A swatch this old counts as dry where no drying fit says when it was. Common practice, no
 * source: prints are judged a day after printing. */
#define SETTLED_AGE_S (24 * 3600)

/**
 * Find an ink's colour among all its readings: the settled one.
 *
 * Taken is the latest photo in which swatches of the ink are known to be dry
 * (old enough, or past what a fit of their drying says), else the dry end of
 * such a fit, else the latest reading of a swatch whose age nobody told. A
 * reading known to be wet is never taken. Of several dry swatches in the
 * photo the mean; readings with a fault (glare, shadow, ...) only where there
 * are no others.
 *
 * Shape:   sorts `observations`; sets basis, colour, covariances and photo of
 *          `ink`, not its name and paper.
 */
void settled_colour(struct observation *observations, size_t count, struct range_ink *ink);

/** Whether a reading is known to be wet. */
bool settled_is_wet(const struct observation *observation);

/** What the basis of a colour is called in notes and tables: "settled", "age unknown", ... */
const char *settled_words(enum colour_basis basis);

#endif
