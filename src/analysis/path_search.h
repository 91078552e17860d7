#ifndef WOAD_ANALYSIS_PATH_SEARCH_H
#define WOAD_ANALYSIS_PATH_SEARCH_H

/* Private to src/analysis: the local search behind path.c. */

#include "base/error.h"

#include <stddef.h>

/**
 * Shorten a path by local search, kicked out of its dead ends many times.
 *
 * Shape:   `visit` the path to begin with, and the best found.
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status path_search(const double *distance, size_t count, size_t *visit,
                                 struct error *error);

#endif
