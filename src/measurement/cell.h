#ifndef WOAD_MEASUREMENT_CELL_H
#define WOAD_MEASUREMENT_CELL_H

#include "glare.h"
#include "vision/sampling.h"

#define CELL_CLIPPED_MAX 0.02 /* fraction of clipped pixels that tells: below it is noise */

/* A cell on its way to a reading. */
struct cell {
    struct area_sample sample;
    struct rgb light;
    struct rgb rgb;     /* in the light of the card's middle, tone undone */
    bool on_paper;      /* bare paper beside it shows its light */
    double local_light; /* what that shows the field to miss */
    struct rgb below;   /* how far channels at the low end lie below the photo's range */
    struct glare glare;
    bool outshines; /* a point of it is lighter than bare paper: what was left out is a shine */
};

#endif
