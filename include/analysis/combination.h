#ifndef WOAD_ANALYSIS_COMBINATION_H
#define WOAD_ANALYSIS_COMBINATION_H

#include "values/colour.h"

#include <stddef.h>

/* An ordered run of 2 to 5 inks blended into one another. */
#define COMBINATION_LEAST 2
#define COMBINATION_MOST 5

/* Its colours. Plain data: nothing to free. */
struct combination {
    size_t count;
    struct lab colours[COMBINATION_MOST];
};

/**
 * How unlike two combinations are, whatever the order of their inks: the mean
 * delta E 2000 under the best matching of their colours. Of two that differ in
 * number, each colour left over counts as far as its nearest in the other.
 *
 * Source:  every matching is tried, so the best one is exact.
 */
double combination_distance(const struct combination *a, const struct combination *b);

#endif
