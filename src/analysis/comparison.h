#ifndef WOAD_ANALYSIS_COMPARISON_H
#define WOAD_ANALYSIS_COMPARISON_H

/* Private to src/analysis: what the steps of batches_compare share. */

#include "analysis/batches.h"

/* One pair made ready. All but the colours is in perceptual steps at their middle. */
struct comparison {
    bool usable; /* both sides have a swatch */
    bool same_photo;
    struct lab before, after;
    double frame[9];
    double difference[3];
    double parts;         /* 1 / swatches before + 1 / swatches after */
    double own[9];        /* of one swatch: the measured scatter of its pixels */
    double photo[9];      /* what the difference has from different photos */
    double photo_freedom; /* INFINITY: as the readings state it */
};

/* How swatches of one batch differ. */
struct swatch_spread {
    double covariance[9];
    double freedom; /* INFINITY: told or assumed, and then a reading's own scatter comes on top */
    bool assumed;
};

void comparison_prepare(const struct batch_pair *pair, struct comparison *comparison);

/** Estimate the spread from all swatches that share batch and photo with another. */
struct swatch_spread comparison_spread(const struct batch_pair *pairs,
                                       const struct comparison *comparisons, size_t count,
                                       double told);

/** The covariance of one swatch about its batch. */
void comparison_swatch(const struct comparison *comparison, const struct swatch_spread *spread,
                       double covariance[9]);

/**
 * Find the shift that all inks share and take it off where photos differ; what
 * the photos leave then is known from how the inks scatter about it.
 *
 * Shape:   sets the shift in `batches` and changes `comparisons`; leaves all as
 *          it is where there are too few inks.
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status comparison_take_shift(struct comparison *comparisons, size_t count,
                                           const struct swatch_spread *spread,
                                           struct batches *batches, struct error *error);

#endif
