#ifndef WOAD_CORRECTION_PARTS_H
#define WOAD_CORRECTION_PARTS_H

#include "colour_fit.h"
#include "correction/correction.h"
#include "icc.h"
#include "light.h"
#include "tone.h"

#include <stdbool.h>

/* What a correction is made of; for the files of this layer alone. */
struct correction {
    bool raw; /* no curve is to be undone */
    struct tone tone;
    struct light_field light_beside;               /* as paper and desk tell it */
    struct light_field light;                      /* and the card with them */
    struct colour_patch patches[CARD_PATCHES_MAX]; /* the used ones */
    struct colour_fitted colour;
    bool fitted;                        /* there is a model to tell the light by */
    double slopes[CARD_PATCHES_MAX][9]; /* of Lab over the logarithm of each channel */
    int card_index[CARD_PATCHES_MAX];
    struct area_sample samples[CARD_PATCHES_MAX];
    int count;
    struct point card_centre;
    double card_size_px;
    struct icc_pipeline *pipeline;
};

#endif
