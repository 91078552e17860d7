#ifndef WOAD_MEASUREMENT_PAPER_SHADE_H
#define WOAD_MEASUREMENT_PAPER_SHADE_H

#include "measurement/paper.h"

#include <stdbool.h>

/**
 * Follow bare paper into shadows, from sample to sample between the chart's cells. Ink, outlines
 * and labels in a gap are darker than paper too, but have brighter paper all around.
 *
 * Shape:   `bare` one of each sample: whether it is known to be bare, before and after.
 */
void paper_follow_shade(const struct paper *paper, const struct chart_pose *chart, bool *bare);

#endif
