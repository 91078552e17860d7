#ifndef WOAD_OUTPUT_FORECAST_PICTURE_H
#define WOAD_OUTPUT_FORECAST_PICTURE_H

#include "analysis/blend.h"
#include "analysis/combination.h"
#include "base/error.h"

#include <stdbool.h>
#include <stddef.h>

/*
 * Combinations as they may look when blended: each a strip of its inks with
 * the one forecast of the blends between them. Where it is not settled which
 * law of mixing holds, the forecast fades into one at the strip's upper rim and
 * into the other at its lower: a soft band, as wide as the doubt is.
 */
#define FORECAST_SAMPLES 80

struct forecast_join {
    struct lab samples[FORECAST_SAMPLES];
    struct lab by_law[BLEND_LAWS][FORECAST_SAMPLES]; /* settled: both the same as the forecast */
    bool settled;
    double u95; /* half way */
};

struct forecast_strip {
    const char *title; /* borrowed */
    size_t count;
    const char *names[COMBINATION_MOST]; /* borrowed */
    struct lab colours[COMBINATION_MOST];
    struct forecast_join joins[COMBINATION_MOST - 1];
};

/**
 * Fill a join's samples from the first ink to the second.
 *
 * Units:   the shares of the samples are spread evenly between 0 and 1.
 */
void forecast_join_fill(const struct reflectance_observer *observer, const struct blend_ink *first,
                        const struct blend_ink *second, const struct blend_habit *habit,
                        struct forecast_join *join);

/**
 * Draw strips one below the other and write them as PNG.
 *
 * Returns: STATUS_OK; STATUS_FILE; STATUS_MEMORY.
 */
MUST_USE enum status forecast_picture_write(const char *path, const struct forecast_strip *strips,
                                            size_t count, struct error *error);

#endif
