#ifndef WOAD_ANALYSIS_SETTLED_H
#define WOAD_ANALYSIS_SETTLED_H

#include "analysis/observation.h"
#include "analysis/range.h"
#include <stddef.h>

/* A swatch this old counts as dry where no drying fit says when it was. Common practice, no
 * source: prints are judged a day after printing. */
#define SETTLED_AGE_S (24 * 3600)

/**
 * Find an ink's colour: all its readings that count, combined.
 *
 * What counts is decided by the best reading there is: one known to be dry (old
 * enough, or past what a fit of its drying says), else the dry end of such a
 * fit, else one of a swatch whose age nobody told; one known to be wet never.
 * Then one without a fault (glare, shadow, ...), then one on the usual paper,
 * then the latest. With it count the others that are as dry and as faultless,
 * on the same paper and of the same batch; of those of unknown age only what
 * agrees with the latest. Swatches of one photo are averaged, and photos
 * combined by what each is worth; one of more than twice the doubt of the best
 * is left out.
 *
 * What photos share (a card's printing, a camera's colours) no number of them
 * lessens, and which part that is is not known: the shared covariances are
 * averaged, the own ones lessened, and where photos differ by more than they
 * state, the difference counts as own.
 *
 * Shape:   sorts `observations` and sets `counted` of each; sets all of `ink`
 *          but its name and the names of paper and batch.
 * Source:  JCGM 100:2008, 5.2.2 (what is common does not average out); Birge 1932
 *          (where results differ by more than stated).
 */
void settled_colour(struct observation *observations, size_t count, struct range_ink *ink);

/** Whether a reading is known to be wet. */
bool settled_is_wet(const struct observation *observation);

/** What the basis of a colour is called in notes and tables: "settled", "age unknown", ... */
const char *settled_words(enum colour_basis basis);

#endif
