#ifndef WOAD_QUESTIONS_CHART_NOISE_H
#define WOAD_QUESTIONS_CHART_NOISE_H

#include "analysis/drying.h"
#include "base/error.h"
#include "values/statistics.h"

#include <stddef.h>

/*
 * How well the readings of a chart state their errors: each swatch tells, by what its readings
 * leave about a curve, how much larger their variances are than stated. Inks differ in that, some
 * colours being harder to read in another light; what all tell together is kept, and how far they
 * scatter about it.
 */
struct chart_noise {
    const char *chart;
    struct variance_prior noise;
};

/* A zeroed one is empty. */
struct chart_noises {
    struct chart_noise *items;
    size_t count, capacity;
};

/** Add what one swatch tells; the name is borrowed. Returns: STATUS_OK; STATUS_MEMORY. */
MUST_USE enum status chart_noise_add(struct chart_noises *noises, const char *chart,
                                     const struct drying_noise *told, struct error *error);

/** Leave one for each chart that enough swatches tell of; nothing may be added after it. */
void chart_noise_settle(struct chart_noises *noises);

/** The noise of a chart; as stated where too few swatches told. */
struct variance_prior chart_noise_of(const struct chart_noises *noises, const char *chart);

void chart_noise_release(struct chart_noises *noises);

#endif
