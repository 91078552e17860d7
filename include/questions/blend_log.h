#ifndef WOAD_QUESTIONS_BLEND_LOG_H
#define WOAD_QUESTIONS_BLEND_LOG_H

/* Combinations logged and blends measured, as the analyses take them. */

#include "analysis/combine.h"
#include "inventory/combinations.h"
#include "questions/measured_range.h"

struct blend_log {
    struct inventory_combinations combinations;
    struct inventory_strips strips;
    struct combination *logged; /* those of which every ink has a colour */
    size_t *logged_of;          /* their numbers among `combinations` */
    size_t logged_count;
    struct combine_tested *tested; /* inks of the measured range */
    size_t tested_count;
    struct blend_habit untested;
};

/**
 * Load what was made and measured (`given` NULL: the usual inventory).
 *
 * Owns:    the caller releases `log` with blend_log_release.
 * Returns: STATUS_OK; STATUS_USAGE; STATUS_INVENTORY; STATUS_MEMORY.
 */
MUST_USE enum status blend_log_load(const char *given, const struct measured_range *measured,
                                    struct blend_log *log, struct error *error);
void blend_log_release(struct blend_log *log);

/**
 * Learn from a strip how its two inks mix; its cells of share 0 and 1 are the inks alone.
 *
 * Returns: STATUS_OK; STATUS_QUALITY if it has too few cells; STATUS_MEMORY.
 */
MUST_USE enum status blend_log_learn(const struct inventory_strip *strip, struct blend_habit *habit,
                                     struct error *error);

#endif
