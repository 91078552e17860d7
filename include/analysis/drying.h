#ifndef WOAD_ANALYSIS_DRYING_H
#define WOAD_ANALYSIS_DRYING_H

#include "analysis/difference.h"
#include "analysis/observation.h"
#include "base/error.h"
#include "values/statistics.h"

#include <stdbool.h>
#include <stddef.h>

/*
 * How a swatch moved while it dried: Lab(t) = dry + (wet - dry) exp(-t / tau),
 * t from its inking; where nobody told that, from its first reading, and
 * `wet` is its colour then.
 */
enum drying_state {
    DRYING_TOO_FEW, /* fewer than DRYING_READINGS_MIN readings at different times */
    DRYING_UNMOVED, /* it did not change, by a test made before any curve is fitted */
    DRYING_SETTLED, /* the last reading is later than `settled_s`, all of its interval */
    DRYING_UNSURE,  /* the last reading is later than its value, but within its interval */
    DRYING_WET,     /* it will settle at `settled_s`, or that can't be told yet */
    DRYING_FADING   /* dry, and drifting on for days since */
};

#define DRYING_READINGS_MIN 3
#define DRYING_DAY_S (24 * 3600)  /* what moves later than this does not dry; no source */
#define DRYING_FADING_SPAN_DAYS 3 /* a drift is looked for over at least so long; no source */

/* A figure and its 95 % interval. */
struct drying_figure {
    double value, low, high; /* high INFINITY: not bounded */
};

struct drying {
    enum drying_state state;
    int readings;
    bool inked_known;                 /* else times count from the first reading */
    int64_t origin_s;                 /* where t is 0; seconds since 1970 UTC */
    double last_s;                    /* t of the last reading */
    bool fitted;                      /* the curve stands: what follows is set */
    struct lab wet, dry;              /* the curve's ends; without a curve first and last reading */
    struct lab level;                 /* without a curve the mean of the readings */
    double covariance_dry[9];         /* Lab, 3 x 3; without what all the photos share */
    struct drying_figure dry_axis[3]; /* L*, a*, b* of the dry end */
    struct drying_figure tau_s;       /* 0: no curve, nothing moved that can be seen */
    struct drying_figure moved;       /* delta E 2000 from wet to dry */
    struct drying_figure settled_s;   /* t from when on it is within its own noise of dry */
    double noise;                     /* that noise: 95 % radius within the photos, delta E 2000 */
    struct drying_figure fading;      /* DRYING_FADING: delta E 2000 in 30 days */
};

/**
 * Fit the drying of one swatch.
 *
 * Whether it changed at all is asked first: whether its readings go one way in
 * the order of time, or the first stands apart from the others, each a
 * weighted difference in its own covariance. Where neither is beyond chance
 * (5 % for both together) it did not change, and no curve is fitted.
 *
 * Shape:   `readings` of one swatch by time, all with a known time; the
 *          photos' shared errors taken off before, as far as that goes
 *          (steady_take_off).
 * Units:   `noise` how much larger the variances of readings like these are
 *          than stated; what this swatch's own leave about a curve joins it. NULL:
 *          as stated.
 * Returns: STATUS_OK, also for too few; STATUS_MEMORY.
 * Source:  F of a contrast, Bonferroni over the two; Smyth 2004 for the noise;
 *          weighted least squares; intervals by profile likelihood.
 */
MUST_USE enum status drying_fit(const struct observation *readings, size_t count,
                                const struct variance_prior *noise, struct drying *drying,
                                struct error *error);

/* What a swatch's readings leave about a curve, against what they state. */
struct drying_noise {
    double ratio;   /* of variances, 1 where they state their errors well; 0: too few tell */
    double freedom; /* that it was estimated with */
};

/**
 * Learn it from one swatch.
 *
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status drying_noise_of(const struct observation *readings, size_t count,
                                     struct drying_noise *noise, struct error *error);

/** The fitted colour at `t_s` after the origin. */
struct lab drying_colour(const struct drying *drying, double t_s);

#endif
