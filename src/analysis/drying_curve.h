#ifndef WOAD_ANALYSIS_DRYING_CURVE_H
#define WOAD_ANALYSIS_DRYING_CURVE_H

/* Private to src/analysis: the fits behind drying.h. */

#include "analysis/drying.h"

/* A reading with the root of its weight: whitener * (a Lab step) is in its own deviations. */
struct drying_point {
    double t_s;
    struct lab lab;
    double whitener[9];
};

/* One colour for all readings, or a steady drift. */
struct drying_line {
    struct lab level; /* in the middle of the times */
    double covariance_level[9];
    double rate[3]; /* Lab a second; 0 without a drift */
    double covariance_rate[9];
    double left_square;  /* what the readings deviate from the line, a chi-square */
    double moved_square; /* what the drift is in its own deviations, a chi-square of 3 */
};

/**
 * Fit a line to readings, weighted; without `drift` one colour for all.
 *
 * Returns: STATUS_OK; STATUS_NOT_FOUND if their weights fix none; STATUS_MEMORY.
 */
MUST_USE enum status drying_line_fit(const struct drying_point *points, size_t count, bool drift,
                                     struct drying_line *line, struct error *error);

/** The drift in delta E 2000 over so many seconds, with its interval. */
struct drying_figure drying_line_rate(const struct drying_line *line, double seconds);

/**
 * Fit the curve and set what drying.h says of it: ends, times, intervals, state.
 *
 * Shape:   `drying` has last_s and noise set; a state of DRYING_FADING stays.
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status drying_curve_fit(const struct drying_point *points, size_t count,
                                      struct drying *drying, double *left_square,
                                      struct error *error);

/**
 * What readings leave about the best of a few curves, a chi-square; 0 where none can be solved.
 *
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status drying_curve_left(const struct drying_point *points, size_t count,
                                       double *left_square, struct error *error);

/**
 * Fit Lab = first + second * shape(t), weighted.
 *
 * Shape:   `shapes` a value for each point; NULL: no second part, and three
 *          unknowns instead of six.
 * Returns: STATUS_OK, with solved false if the equations fix no answer; STATUS_MEMORY.
 */
struct drying_solution {
    double tau_s;
    double unknowns[6];
    double covariance[36];
    double left_square;
    bool solved;
};
MUST_USE enum status drying_solve(const struct drying_point *points, size_t count,
                                  const double *shapes, struct drying_solution *solution,
                                  struct error *error);

#endif
