#ifndef WOAD_ANALYSIS_COVER_H
#define WOAD_ANALYSIS_COVER_H

#include "analysis/range.h"
#include "base/error.h"
#include "values/interval.h"

#include <stdbool.h>
#include <stddef.h>

/*
 * What to buy so that inks of the range have a stand-in: the fewest (or
 * cheapest) that leave none without one, which is the minimum dominating set of
 * the pairs within a tolerance; or, of a given number, those that serve most of
 * the range within it, the maximum coverage, or those with the smallest worst
 * gap, the k-centre problem. All are solved exactly; delta E 2000 need not be a metric.
 * Of choices that are as good, one is taken that no swap of a single ink would
 * bring nearer to the range in all.
 */

/* The table of all pairs is held in memory. */
#define COVER_INKS_MAX 2000

enum cover_role { COVER_FREE, COVER_OWNED, COVER_MUST, COVER_NEVER };

struct cover_task {
    const struct range_ink *inks; /* every one has a colour */
    size_t count;                 /* 1 to COVER_INKS_MAX */
    const enum cover_role *roles;
    const double *price;  /* NULL: fewest inks; not finite: the ink is not for sale */
    const size_t *family; /* one an ink, from 0; NULL: told of none. For cover_most */
    size_t families;
    double seconds; /* for each search; 0: until it is proven */
};

#define COVER_NOBODY ((size_t)-1)

/* An ink of the range in the answer. */
struct cover_ink {
    bool chosen;         /* owned, or to be bought */
    size_t step;         /* which to buy first, from 1; 0: not to be bought */
    size_t served_then;  /* once it is bought: how many inks have a stand-in, */
    double worst_then;   /* and the worst gap */
    size_t stand_in;     /* the nearest ink chosen, itself where it is; COVER_NOBODY */
    struct interval gap; /* to the stand-in */
    bool served;         /* the gap is within the tolerance */
    size_t serves;       /* how many inks this one stands in for, itself among them */
};

struct cover {
    struct cover_ink *inks; /* as in the task */
    size_t count;
    double within;       /* the tolerance; for a given number of inks, the worst gap reached */
    double close;        /* up to which a stand-in is called close */
    double within_bound; /* no choice of as many inks has a smaller worst gap */
    size_t owned, bought, unserved;
    size_t unserved_bound; /* of a given number that serve most: no choice leaves fewer unserved */
    double cost;           /* of what is bought: their number where no prices were given */
    double cost_bound;     /* no choice costs less */
    bool proven;
    /* What uncertainty leaves open: stand-ins whose interval straddles the tolerance, and the cost
     * if every pair in doubt were within it, or none. Not told for a given number of inks. */
    size_t open;
    double cost_if_close, cost_if_apart;
    size_t unserved_if_apart;
};

/**
 * Choose the fewest inks, or the cheapest, that leave none without a stand-in.
 *
 * Inks that none of those allowed can stand in for are left unserved and counted.
 *
 * Owns:    the caller releases `cover` with cover_release.
 * Returns: STATUS_OK; STATUS_USAGE for too many inks; STATUS_MEMORY.
 */
MUST_USE enum status cover_fewest(const struct cover_task *task, double within, struct cover *cover,
                                  struct error *error);

/* A stand-in that one would still accept, if few inks are to go far: seen to be another ink, but of
 * its colour. Common practice, no source. */
#define COVER_ACCEPTABLE 8.0

/**
 * Choose at most `number` inks, besides those owned, that serve most of the range.
 *
 * Where families are told, none gets a second ink before every other could have
 * its first: at most `number` over the number of families, rounded up, are of one.
 *
 * Owns:    as cover_fewest; prices are not looked at, but for what is not for sale.
 * Returns: as cover_count.
 */
MUST_USE enum status cover_most(const struct cover_task *task, size_t number, double within,
                                struct cover *cover, struct error *error);

/**
 * Choose at most `number` inks, besides those owned, for the smallest worst gap.
 *
 * Owns:    as cover_fewest; prices are not looked at, but for what is not for sale.
 * Returns: as cover_fewest; STATUS_USAGE too if more than `number` must be
 *          bought, or nothing may be.
 */
MUST_USE enum status cover_count(const struct cover_task *task, size_t number, struct cover *cover,
                                 struct error *error);

void cover_release(struct cover *cover);

#endif
