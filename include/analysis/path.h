#ifndef WOAD_ANALYSIS_PATH_H
#define WOAD_ANALYSIS_PATH_H

#include "base/error.h"

#include <stdbool.h>
#include <stddef.h>

/*
 * The shortest open path through points, ends free. Nothing is asked of the
 * distances but that they are symmetric and not negative: they may break the
 * triangle inequality, as delta E 2000 does.
 */
#define PATH_EXACT_MAX 17 /* up to here the shortest path is found for certain */

struct path {
    double length;
    double bound; /* no path is shorter */
    bool proven;  /* that this one is the shortest */
};

/**
 * Find a short path through all points.
 *
 * Few points are solved by dynamic programming over their subsets; more by
 * local search (2-opt, Or-opt, kicks), held against a lower bound.
 *
 * Shape:   `distance` count x count; `visit` takes the points in their order.
 * Returns: STATUS_OK; STATUS_MEMORY.
 * Source:  Held and Karp 1962 (subsets), 1970 (the bound: least spanning trees
 *          under penalties); Or 1976; Martin, Otto and Felten 1991 (kicks).
 */
MUST_USE enum status path_shortest(const double *distance, size_t count, size_t *visit,
                                   struct path *path, struct error *error);

/** The length of the path that visits points in this order. */
double path_length(const double *distance, size_t count, const size_t *visit, size_t visited);

/**
 * A number that no open path through all points is shorter than.
 *
 * Shape:   `reached` the length of a path known, which sets the step.
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status path_bound(const double *distance, size_t count, double reached, double *bound,
                                struct error *error);

#endif
