#ifndef WOAD_TESTS_BLEND_PAIRS_H
#define WOAD_TESTS_BLEND_PAIRS_H

#include "analysis/blend.h"

#include <stdint.h>

/*
 * Pairs of invented inks whose whole spectra are known, and their true blends.
 * The inks are the renderer's; nothing of the truth passes through the code
 * under test but the two colours.
 */
#define BLEND_PAIRS_INKS_MAX 160
#define BLEND_PAIRS_BANDS 81

struct blend_pairs {
    struct reflectance_observer observer; /* the forecast's */
    double spectrum[BLEND_PAIRS_INKS_MAX][BLEND_PAIRS_BANDS];
    struct blend_ink inks[BLEND_PAIRS_INKS_MAX];
    int count;
};

struct blend_pair {
    const struct blend_ink *first, *second;
};

struct random {
    uint64_t state;
};

MUST_USE enum status blend_pairs_create(struct blend_pairs *pairs, struct error *error);

/** Two inks that are not alike. */
struct blend_pair blend_pair_draw(const struct blend_pairs *pairs, struct random *random);

/** The colour of a blend, band by band over both spectra, every 5 nm. */
struct lab blend_pair_truth(const struct blend_pairs *pairs, const struct blend_pair *pair,
                            enum blend_law law, double second_share);

#endif
