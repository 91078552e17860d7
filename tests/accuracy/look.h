#ifndef WOAD_TESTS_LOOK_H
#define WOAD_TESTS_LOOK_H

#include "accuracy/random.h"
#include "values/colour.h"

/*
 * What a camera does to a picture after its sensor and matrix, as numbers:
 * tone on channels or on luminance, saturation, hue twists, colours out of
 * range clipped or squeezed, samples rounded. Everything is invented, its range
 * as wide as real files are: their cards are foretold from one another within 2
 * to 5 delta E 2000.
 */
#define LOOK_ORDERS 3

struct look {
    double gamma, contrast, shoulder; /* of the tone curve */
    double on_luminance;              /* the share of it that keeps the channels' ratios */
    double saturation, vibrance;      /* more colour everywhere; more of it where there is little */
    double colour_by_lightness, hue_by_lightness;
    double hue_twist[2 * LOOK_ORDERS];    /* Fourier series over the hue: degrees of turn, */
    double colour_twist[2 * LOOK_ORDERS]; /* relative chroma, */
    double light_twist[2 * LOOK_ORDERS];  /* and L* */
    double squeeze; /* the part of the range into which colours beyond it are squeezed */
    double local;   /* local tone mapping: the share of the surroundings' contrast taken off */
    double luma_step, chroma_step; /* rounding of flat areas, in codes of 255 */
};

/** A look of a strength: 0 leaves all but the rounding alone, 1 is usual. */
struct look look_draw(struct random *random, double strength);

/**
 * Linear values of the maker's space to those the file holds, 0 to 1.
 *
 * Units: `surround` the luminance around the surface, of white's 1, for local tone mapping.
 */
struct rgb look_apply(const struct look *look, struct rgb linear, double surround,
                      struct random *random);

#endif
