#ifndef WOAD_ANALYSIS_PROGRAMME_H
#define WOAD_ANALYSIS_PROGRAMME_H

#include "base/error.h"

#include <stdbool.h>
#include <stddef.h>

/*
 * The covering programme: choose the cheapest columns such that every row has
 * one that serves it, of some columns at most so many. The home of GLPK's integer programming.
 */
struct programme {
    size_t rows;
    size_t columns;
    const bool *serves;  /* rows x columns, row by row; every row has a true one */
    const double *cost;  /* one a column, 0 or more */
    size_t limited;      /* of the first so many columns */
    size_t limit;        /* at most so many are chosen; 0: as many as it takes */
    const size_t *group; /* of each of these columns, from 0; NULL: no groups */
    size_t groups;
    size_t group_limit; /* at most so many are chosen of a group */
    double seconds;     /* when to stop and give the best found; 0: never */
};

struct programme_answer {
    double cost;
    double bound; /* no choice costs less */
    bool proven;  /* that `cost` is the least */
};

/**
 * Solve a covering programme.
 *
 * Shape:   `chosen` takes a value for each column.
 * Returns: STATUS_OK, also when the time ran out: then `proven` is false and
 *          the truth lies between bound and cost; STATUS_MEMORY.
 */
MUST_USE enum status programme_solve(const struct programme *programme, bool *chosen,
                                     struct programme_answer *answer, struct error *error);

#endif
