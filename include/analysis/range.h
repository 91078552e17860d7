#ifndef WOAD_ANALYSIS_RANGE_H
#define WOAD_ANALYSIS_RANGE_H

#include "values/colour.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* What the colour of an ink rests on. */
enum colour_basis {
    COLOUR_SETTLED,     /* readings known to be dry */
    COLOUR_DRY_END,     /* none is, but a drying fit tells what it dries to */
    COLOUR_AGE_UNKNOWN, /* readings of swatches of which nobody said when they were made */
    COLOUR_WET_ONLY,    /* only readings known to be wet: never stands in for the ink's colour */
    COLOUR_NONE         /* never measured */
};

#define RANGE_NAME_SIZE 128
#define RANGE_LABEL_SIZE 64

/* So many photos go into a colour, the latest: more would lessen its own error no further than what
 * they share, which they do not lessen at all. No source. */
#define RANGE_PHOTOS_MAX 8

/* A photo that a colour is combined from, and how much of it. */
struct range_photo {
    int64_t photo;
    double weight; /* those of a colour sum to 1 */
};

/*
 * One ink of the range as the analyses see it: its colour, combined from the readings that count
 * (settled_colour). `lab` and what follows hold for the first three kinds of basis, not for
 * COLOUR_WET_ONLY and COLOUR_NONE. Two inks read in the same photos share the error of
 * `covariance_shared`: their difference has only the own parts. Plain data: nothing to free.
 */
struct range_ink {
    char name[RANGE_NAME_SIZE];
    enum colour_basis basis;
    struct lab lab;
    double covariance_shared[9]; /* Lab, 3 x 3 */
    double covariance_own[9];
    double u95; /* delta E 2000 that holds the true colour with 95 % probability */
    struct range_photo photos[RANGE_PHOTOS_MAX];
    int photo_count;              /* 0: of no photo that another ink may share */
    int counted;                  /* readings that were combined */
    char paper[RANGE_LABEL_SIZE]; /* what they were read on; empty: nobody told */
    char batch[RANGE_LABEL_SIZE];
};

/**
 * The covariance of the difference of two inks' colours: own parts always,
 * shared parts as far as they come from different photos.
 */
void range_difference_covariance(const struct range_ink *a, const struct range_ink *b,
                                 double covariance[9]);

#endif
