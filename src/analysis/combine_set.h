#ifndef WOAD_ANALYSIS_COMBINE_SET_H
#define WOAD_ANALYSIS_COMBINE_SET_H

/* Private to src/analysis: what combine.c asks of one set of inks. */

#include "combine_pairs.h"

/* One set of inks, as numbers of those looked at; the focus, 0, is among them. */
struct combine_set {
    size_t inks[COMBINE_COLOURS_MOST];
    size_t count;
    double score;
    double hue_similarity; /* of those that share a hue */
    double least_similar;  /* of any two */
    double harmony;
    double span;
    double evenness; /* of the steps in lightness: 1 where all are alike */
};

struct lab combine_set_lab(const struct combine_pairs *pairs, size_t ink);

/** Measure the hues of a set, and tell whether they keep the mood. */
bool combine_set_keeps_mood(const struct combine_pairs *pairs, enum combine_mood mood,
                            struct combine_set *set);

/** Put a set in the order that blends cleanest; false if a join is muddy whatever the order. */
bool combine_set_blends_clean(const struct combine_pairs *pairs, struct combine_set *set,
                              double *mean);

void combine_set_measure_lightness(const struct combine_pairs *pairs, struct combine_set *set);

/** Measure the harmony of a set; true if a pair of it is below its floor. */
bool combine_set_is_harsh(const struct combine_pairs *pairs, struct combine_set *set);

#endif
