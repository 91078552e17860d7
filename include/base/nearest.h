#ifndef WOAD_BASE_NEAREST_H
#define WOAD_BASE_NEAREST_H

#include <stdbool.h>
#include <stddef.h>

/*
 * The likeliest meaning of a mistyped word: start with the word, offer every
 * candidate, then read `best`, which is NULL while nothing came near.
 */
struct nearest {
    const char *word;
    const char *best;
    size_t distance;
};

struct nearest nearest_start(const char *word);

/** Keep `candidate` if it is nearer than those before; it must outlive `nearest`. */
void nearest_offer(struct nearest *nearest, const char *candidate);

/**
 * Count the letters to add, drop, change or swap to turn one word into the other, case aside.
 *
 * Returns: the count; words longer than NEAREST_LETTERS_MAX bytes are compared up to there.
 */
#define NEAREST_LETTERS_MAX 63
size_t nearest_distance(const char *a, const char *b);

/**
 * Tell whether one of two names looks like a slip in writing the other.
 *
 * What counts ("12", "2026", "b", "IV") must be the same in both; of the rest one letter may be
 * wrong where there are four, two where there are eight. Accents and marks between words may be
 * missing.
 */
bool nearest_is_slip(const char *a, const char *b);

#endif
