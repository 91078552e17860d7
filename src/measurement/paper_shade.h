#ifndef WOAD_MEASUREMENT_PAPER_SHADE_H
#define WOAD_MEASUREMENT_PAPER_SHADE_H

#include "paper.h"

#include <stdbool.h>

/**
 * Follow bare paper into shadows and into the light of another lamp, from sample to sample between
 * the chart's cells and right beside them. Ink, outlines and labels in a gap are darker than paper
 * too, but have brighter paper all around.
 *
 * Shape:   `bare` one of each sample: whether it is known to be bare, before and after.
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status paper_follow_shade(const struct paper *paper, const struct chart_pose *chart,
                                        bool *bare, struct error *error);

#endif
