#ifndef WOAD_ANALYSIS_STEADY_H
#define WOAD_ANALYSIS_STEADY_H

#include "analysis/observation.h"

/*
 * What did not move from photo to photo (bare paper, blank cells, swatches long
 * dry) shows the error that a photo's readings share: taken off, it leaves the
 * error of differences within a photo.
 */
struct steady {
    int controls;     /* unmoved things seen in all the photos; 0: nothing could be taken off */
    double remaining; /* the part of the shared covariances that stays, 0 to 1 */
};

/* A single control shows the shift but not how well it suits another colour. Common practice, no
 * source. */
#define STEADY_REMAINING_OF_ONE 0.5

/**
 * Take the photos' shared errors off the readings of one swatch.
 *
 * Shape:   `readings` of one swatch, at most one a photo; `controls` the
 *          readings of unmoved things, sorted by swatch (any number that tells
 *          them apart). Controls nearer in colour count for more. Lab and
 *          covariance_shared of `readings` change.
 */
struct steady steady_take_off(struct observation *readings, size_t count,
                              const struct observation *controls, size_t control_count);

#endif
