#ifndef WOAD_COMMANDS_BLEND_STRIPS_H
#define WOAD_COMMANDS_BLEND_STRIPS_H

/* Private to src/commands: combinations made into strips to draw. */

#include "analysis/combine.h"
#include "output/forecast_picture.h"

/**
 * Forecast the blends of a run of inks.
 *
 * Shape:   `inks` are `count` inks of the task, 2 to COMBINATION_MOST.
 * Owns:    nothing; `strip` borrows the names, its title is the caller's to set.
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status blend_strips_forecast(const struct combine_task *task, const size_t *inks,
                                           size_t count, struct forecast_strip *strip,
                                           struct error *error);

#endif
