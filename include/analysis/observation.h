#ifndef WOAD_ANALYSIS_OBSERVATION_H
#define WOAD_ANALYSIS_OBSERVATION_H

#include "values/colour.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/*
 * One reading of one swatch as the analyses see it. Two with the same `photo`
 * share the error of `covariance_shared`. Plain data: nothing to free.
 */
struct observation {
    struct lab lab;
    double covariance_shared[9]; /* Lab, 3 x 3 */
    double covariance_own[9];
    double u95; /* delta E 2000 */
    int64_t photo;
    int64_t swatch;
    int64_t batch;   /* 0: not told */
    int64_t paper;   /* 0: the usual one of the range; others are told apart by their numbers */
    int64_t reading; /* which one it is, as whoever asks numbers them */
    bool taken_known;
    bool inked_known;
    int64_t taken_s; /* seconds since 1970 UTC */
    int64_t inked_s;
    bool settled_known; /* a fit of its drying says from when on the swatch is dry */
    int64_t settled_s;
    bool dry_end; /* no reading but the dry end of such a fit: only where no reading is dry */
    bool faulty;  /* clipped, in glare or shadow, uneven or small: better ones are taken first */
    bool counted; /* set by settled_colour: its ink's colour is combined from it, among others */
};

/** How old the swatch was, in seconds; -1 where one of the times is not known. */
int64_t observation_age_s(const struct observation *observation);

/** Sort by swatch, then by the time taken (unknown first), then by photo. */
void observation_sort(struct observation *observations, size_t count);

/** Sort by photo, then by batch, then by swatch: as the sides of a comparison are wanted. */
void observation_sort_by_photo(struct observation *observations, size_t count);

/** How many of the observations from the first on are of the same swatch. */
size_t observation_run(const struct observation *observations, size_t count);

#endif
