#ifndef WOAD_ANALYSIS_COMBINE_PAIRS_H
#define WOAD_ANALYSIS_COMBINE_PAIRS_H

/* Private to src/analysis: what combine.c looks up for each pair of inks. */

#include "analysis/combine.h"

#define COMBINE_FOCUS 0 /* of the inks looked at */

struct combine_pair {
    double delta_e;
    double harmony;
    double similarity;
    double clean;
};

/* The inks looked at, the focus first, and their pairs. */
struct combine_pairs {
    const struct combine_task *task;
    struct reflectance_observer observer;
    size_t *inks; /* of the task */
    size_t count;
    struct blend_ink *ready;    /* count */
    struct combine_pair *pairs; /* count x count */
    double floor_focus;         /* of the harmony of pairs with the focus */
    double floor_others;        /* and of pairs without */
    double identical;           /* delta E 2000 of two inks that are nearly the same */
    double tone_hue;            /* similarity of what is tonal */
};

/**
 * Judge each pair of inks that may take part.
 *
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status combine_pairs_create(const struct combine_task *task,
                                          struct combine_pairs *pairs, struct error *error);
void combine_pairs_release(struct combine_pairs *pairs);

static inline const struct combine_pair *combine_pair_at(const struct combine_pairs *pairs,
                                                         size_t a, size_t b)
{
    return &pairs->pairs[a * pairs->count + b];
}

/** The blend of two inks looked at, half way. */
struct combine_join combine_pairs_join(const struct combine_pairs *pairs, size_t a, size_t b);

#endif
