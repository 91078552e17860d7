#ifndef WOAD_MEASUREMENT_PAPER_H
#define WOAD_MEASUREMENT_PAPER_H

#include "base/error.h"
#include "files/photo.h"
#include "location/pose.h"
#include "vision/sampling.h"

#include <stddef.h>

/*
 * Bare paper around the chart's cells: what shows how the light falls.
 */
struct paper {
    struct area_sample *samples;
    size_t count;
    struct area_sample *lit; /* samples far lighter than the light of those: glare, perhaps */
    size_t lit_count;
};

/**
 * Sample the paper in the gaps between a chart's cells and just outside it.
 *
 * Gaps with an outline, a label or ink in them are left out: what is darker
 * than the paper around it is no bare paper.
 *
 * Owns:    the caller releases `paper` with paper_release.
 * Returns: STATUS_OK, with no samples if the cells leave none; STATUS_MEMORY.
 */
MUST_USE enum status paper_find(const struct photo *photo, const struct chart_pose *chart,
                                struct paper *paper, struct error *error);

void paper_release(struct paper *paper);

#endif
