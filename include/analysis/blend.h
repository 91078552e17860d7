#ifndef WOAD_ANALYSIS_BLEND_H
#define WOAD_ANALYSIS_BLEND_H

#include "analysis/range.h"
#include "analysis/reflectance.h"
#include "base/error.h"

#include <stddef.h>

/*
 * The forecast of what two inks give when they are blended over each other on
 * paper. Two laws stand for how inks may mix: Kubelka and Munk's, by which
 * absorption over scattering adds up, as in paint that covers; and the
 * geometric mean of the reflectances, as of filters one behind the other. They
 * lie far apart, and two colours alone don't tell which holds: a blend that
 * was made and measured does.
 */
enum blend_law { BLEND_KUBELKA_MUNK, BLEND_GEOMETRIC, BLEND_LAWS };

/** Source: Kubelka and Munk 1931; K/S = (1 - R)^2 / 2R mixes by shares. */
double blend_kubelka_munk(double first, double second, double second_share);
double blend_geometric(double first, double second, double second_share);

const char *blend_law_name(enum blend_law law);

/* What the mixing of two inks rests on. */
enum blend_basis {
    BLEND_BY_LAWS,   /* nothing measured: either law may hold */
    BLEND_BY_OTHERS, /* test blends of other inks of the range */
    BLEND_TESTED     /* a test blend of this pair */
};

const char *blend_basis_words(enum blend_basis basis);

/* How two inks mix. Zeroed but for `strength` 1 and `lean` 0.5: not known. */
struct blend_habit {
    enum blend_basis basis;
    double lean; /* 0: Kubelka and Munk's law, 1: the geometric mean; between and beyond, both */
    double strength; /* how much more of the second ink's colour comes through than its share; 1 */
    struct lab rest; /* what the test blend had besides, half way */
};

struct blend_habit blend_habit_unknown(void);

/* An ink made ready for forecasts. */
struct blend_ink {
    struct lab lab;
    struct reflectance reflectance;
    struct lab missed; /* what of the colour no reflectance gives */
    double u95;        /* of the colour itself, delta E 2000 */
};

/**
 * Make an ink ready: the likeliest reflectance of its colour.
 *
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status blend_ink_prepare(const struct reflectance_observer *observer, struct lab lab,
                                       double u95, struct blend_ink *ink, struct error *error);

/* The forecast of one blend. */
struct blend_forecast {
    struct lab lab;                /* the likeliest, half way between the laws if need be */
    struct lab by_law[BLEND_LAWS]; /* what it is if one law holds or the other */
    double u95;                    /* holds the true colour 95 times in 100, delta E 2000 */
};

/**
 * Forecast a blend.
 *
 * Units:   `second_share` 0 to 1.
 * Source:  the radius after simulated inks and, for the spectra behind a
 *          colour, measured reflectances (own calculation); blend.c has the figures.
 */
struct blend_forecast blend_forecast_at(const struct reflectance_observer *observer,
                                        const struct blend_ink *first,
                                        const struct blend_ink *second, double second_share,
                                        const struct blend_habit *habit);

/* One cell of a test blend. */
struct blend_sample {
    double second_share; /* strictly between 0 and 1 */
    struct lab lab;
};

/* A test blend: the inks best from the same photo as the samples. */
struct blend_strip {
    const struct blend_ink *first, *second;
    const struct blend_sample *samples;
    size_t count;
};

/**
 * Learn how two inks mix from blends of them as measured.
 *
 * Returns: STATUS_OK; STATUS_QUALITY where the two inks are too alike to tell, or
 *          the samples are like no blend of them; STATUS_MEMORY.
 */
MUST_USE enum status blend_learn(const struct reflectance_observer *observer,
                                 const struct blend_strip *strip, struct blend_habit *habit,
                                 struct error *error);

#endif
