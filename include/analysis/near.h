#ifndef WOAD_ANALYSIS_NEAR_H
#define WOAD_ANALYSIS_NEAR_H

#include "analysis/range.h"
#include "base/error.h"
#include "values/interval.h"

#include <stdbool.h>
#include <stddef.h>

/*
 * Which inks could stand in for a colour. Delta E 2000 is no metric and being
 * near is not transitive: every pair is judged by itself, and those that a
 * lower bound of delta E 2000 rules out are never computed.
 */

/* Up to this, two swatches pass for the same unless laid edge to edge; common practice, no source.
 */
#define NEAR_SAME 1.0
/* Up to this, one ink stands in for the other in most work; common practice, no source. */
#define NEAR_CLOSE 3.0

enum likeness { LIKENESS_SAME, LIKENESS_CLOSE, LIKENESS_APART };

struct near_match {
    size_t first;  /* pairs only: the one asked about, as an index */
    size_t second; /* the ink found */
    struct interval delta_e;
};

struct near_matches {
    struct near_match *items; /* nearest first */
    size_t count;
    size_t capacity;
    size_t within;   /* how many are within the tolerance, listed or not */
    size_t computed; /* how many delta E 2000 were computed for it */
};

/* How near is near, and how many to list. */
struct near_wish {
    double within; /* delta E 2000 */
    size_t count;
};

/**
 * Find the inks nearest to a colour.
 *
 * Shape:   every ink has a colour; `asked` itself, where it is one of them, is
 *          left out.
 * Owns:    the caller releases `matches` with near_release.
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status near_find(const struct range_ink *asked, const struct range_ink *inks,
                               size_t count, const struct near_wish *wish,
                               struct near_matches *matches, struct error *error);

/**
 * Find every pair of inks within a tolerance.
 *
 * Shape, Owns, Returns: as near_find.
 */
MUST_USE enum status near_pairs(const struct range_ink *inks, size_t count, double within,
                                struct near_matches *matches, struct error *error);

void near_release(struct near_matches *matches);

/** The 95 % interval of the delta E 2000 between two inks. */
struct interval near_interval(const struct range_ink *a, const struct range_ink *b);

/** What a delta E 2000 amounts to: same up to NEAR_SAME, close up to `within`. */
enum likeness near_likeness(double delta_e, double within);

/** "same", "close" or "apart". */
const char *near_likeness_word(enum likeness likeness);

/**
 * What is said of two inks: "same", "close" or "apart"; with "probably" before it where the
 * interval reaches into what stands next to it; "cannot tell" where it reaches from one end to the
 * other.
 */
const char *near_verdict(const struct interval *interval, double within);

/** What else it may be, as far as the interval goes: words joined by ';', none if it is sure. */
#define NEAR_PERHAPS_SIZE 24
void near_perhaps(const struct interval *interval, double within, char words[NEAR_PERHAPS_SIZE]);

#endif
