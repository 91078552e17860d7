#ifndef WOAD_ANALYSIS_BATCHES_H
#define WOAD_ANALYSIS_BATCHES_H

#include "analysis/difference.h"
#include "analysis/observation.h"
#include "base/error.h"

#include <stdbool.h>
#include <stddef.h>

/*
 * Whether two batches of an ink have the same colour. The difference of their
 * mean colours is tested as a vector against its covariance: how far swatches
 * of one batch lie apart, and, where the batches come from different photos,
 * what the photos' errors share. Two equal batches never measure zero.
 */

/* Half of the observers accept this difference. Source: Paravina and others 2015 (50 %
 * acceptability, delta E 2000 1.8). */
#define BATCHES_TOLERANCE 1.8

/* How far swatches lie apart, a standard deviation along each of three axes in delta E, where
 * there are too few to tell. Common practice, no source. */
#define BATCHES_SPREAD_ASSUMED 0.5
#define BATCHES_FREEDOM_MIN 4 /* fewer degrees of freedom tell nothing of the spread */

#define BATCHES_SHIFT_INKS_MIN 8 /* fewer inks do not show what is common to all */
#define BATCHES_SWATCHES_MAX 60  /* more than anyone would make */

/* One ink in both batches; an observation for each swatch, each side in the order of
 * observation_sort_by_photo. */
struct batch_pair {
    const struct observation *before, *after;
    size_t before_count, after_count;
    bool asked; /* false: it only helps to know the spread and what all inks share */
};

struct batches_question {
    double tolerance; /* delta E 2000 */
    double spread;    /* per axis, delta E; 0: estimate it, else assume it */
};

enum verdict { VERDICT_SAME, VERDICT_DIFFERENT, VERDICT_CANNOT_TELL, VERDICT_MISSING };

struct batch_verdict {
    enum verdict verdict;         /* VERDICT_MISSING: one side has no swatch; no more is set */
    struct difference difference; /* a shift common to all inks taken off */
    double low, high;             /* the 95 % interval of delta E 2000 */
    double chance;                /* to see this where nothing differs at all; Holm's, over all */
    bool same_photo;              /* both batches are in one photo: its error cancels */
    int swatches_wanted; /* of each batch, in one photo, to settle it; 0: no number would */
    bool seen;           /* the chance is below 5 %: something differs, however little */
};

struct batches {
    struct batch_verdict *verdicts; /* one for each pair; of those not asked MISSING */
    size_t count;
    size_t asked;          /* verdicts told, over which false alarms are controlled */
    double spread;         /* used, the mean of three axes */
    double spread_freedom; /* INFINITY: told or assumed */
    bool spread_assumed;
    bool shift_found; /* whether the photos could be compared by what all inks share */
    struct lab shift; /* of all inks alike, taken for the photos' */
    double shift_delta_e;
    double
        shift_scatter; /* per axis, delta E: how far the inks lie about it beyond their own error */
};

/**
 * Compare two batches of each of many inks.
 *
 * Owns:    the caller releases `batches` with batches_release.
 * Returns: STATUS_OK; STATUS_MEMORY.
 * Source:  Hotelling's T squared, as ASTM E2214 has it for two sets of colour
 *          measurements; Yao 1965 for the freedom where two covariances add;
 *          Holm 1979 over the inks, for `seen`.
 */
MUST_USE enum status batches_compare(const struct batch_pair *pairs, size_t count,
                                     const struct batches_question *question,
                                     struct batches *batches, struct error *error);
void batches_release(struct batches *batches);

/** What an interval says of a tolerance: what lies wholly above it is different. */
enum verdict batches_verdict(double low, double high, double tolerance);

/** "same", "different", "cannot tell" or "missing". */
const char *batches_words(enum verdict verdict);

/* --- planning ------------------------------------------------------------------------------- */

struct batches_plan {
    int swatches;           /* of each batch, where the spread is known */
    int swatches_estimated; /* where it has to be estimated from these swatches */
    double power;           /* of the first; at least 0.80 */
    double power_estimated;
};

/**
 * How many swatches of each batch show a difference, in one photo, with 80 %
 * power at the 5 % level.
 *
 * Units:   delta E 2000; `spread` per axis.
 * Returns: false if more than BATCHES_PLAN_MAX would be needed.
 * Source:  non-central chi-square and Hotelling's T squared, 3 dimensions.
 */
#define BATCHES_PLAN_MAX 10000
bool batches_plan(double delta_e, double spread, struct batches_plan *plan);

#endif
