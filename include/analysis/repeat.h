#ifndef WOAD_ANALYSIS_REPEAT_H
#define WOAD_ANALYSIS_REPEAT_H

#include "base/error.h"
#include "values/colour.h"

#include <stdbool.h>
#include <stddef.h>

/*
 * The same sheet photographed several times: how far the photos agree, and what
 * they say together.
 */

/* One cell in one photo. */
struct repeat_reading {
    bool readable;
    struct lab lab;
    double covariance_shared[9]; /* Lab 3 x 3: the photo's */
    double covariance_own[9];    /* Lab 3 x 3: the cell's own */
};

/* One cell in all photos. */
struct repeat_cell {
    int photos;           /* that could read it */
    struct lab lab;       /* their mean */
    double u95;           /* of the mean; delta E 2000 */
    double repeatability; /* delta E 2000 of a photo from the mean, root mean square; 0 for one */
    double largest;       /* delta E 2000 between two photos, at most */
};

struct repeat {
    size_t cells;                             /* read in two photos or more */
    double median_difference, p95_difference; /* delta E 2000 of two photos, over all cells */
    double stays; /* of a photo's shared variance, the part that all photos have in common */
};

/* Two of the photos that are not of one sheet. */
struct repeat_apart {
    bool found;
    size_t first, second; /* of the photos */
    size_t cells, unlike; /* read in both; and those of them that are of two colours */
    double median_difference;
};

/**
 * Look for two photos that show different sheets, or one sheet turned.
 *
 * Of cells that are of one colour one in a hundred differs by more than its 99 %
 * limit, as the readings state their errors. Photos of which more than
 * a fifth of the cells do, and two at least, are not of one sheet; the pair with most of them is
 * told.
 *
 * Shape:   as repeat_pool.
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status repeat_find_apart(const struct repeat_reading *readings, size_t photos,
                                       size_t cells, struct repeat_apart *apart,
                                       struct error *error);

/**
 * Pool the photos, which are of one sheet.
 *
 * What several photos do not agree on shrinks with their number. What they
 * share (one card's printing, one camera's colours) does not: that part is
 * what a photo states beyond what the photos are seen to differ by.
 *
 * Shape:   `readings` photos x cells, a photo after the other; `pooled` cells.
 * Returns: STATUS_OK; STATUS_MEMORY.
 * Source:  JCGM 100:2008, 4.2 and F.1.2.
 */
MUST_USE enum status repeat_pool(const struct repeat_reading *readings, size_t photos, size_t cells,
                                 struct repeat_cell *pooled, struct repeat *repeat,
                                 struct error *error);

#endif
