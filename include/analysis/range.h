#ifndef WOAD_ANALYSIS_RANGE_H
#define WOAD_ANALYSIS_RANGE_H

#include "values/colour.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* What the colour of an ink rests on. */
enum colour_basis {
    COLOUR_SETTLED,     /* a reading known to be dry */
    COLOUR_DRY_END,     /* no reading is, but a drying fit tells what it dries to */
    COLOUR_AGE_UNKNOWN, /* the latest reading; nobody said when the swatch was made */
    COLOUR_WET_ONLY,    /* only readings known to be wet: never stands in for the ink's colour */
    COLOUR_NONE         /* never measured */
};

#define RANGE_NAME_SIZE 128

/*
 * One ink of the range as the analyses see it. `lab` and what follows hold
 * for the first three, not for COLOUR_WET_ONLY and COLOUR_NONE. Two inks with the same
 * `photo` share the error of `covariance_shared`: their difference has only
 * the own parts. Plain data: nothing to free.
 */
struct range_ink {
    char name[RANGE_NAME_SIZE];
    enum colour_basis basis;
    struct lab lab;
    double covariance_shared[9]; /* Lab, 3 x 3 */
    double covariance_own[9];
    int64_t photo; /* which photo the reading is from; 0: several */
    char paper[64];
};

/**
 * The covariance of the difference of two inks' colours: own parts always,
 * shared parts only where they come from different photos.
 */
void range_difference_covariance(const struct range_ink *a, const struct range_ink *b,
                                 double covariance[9]);

#endif
