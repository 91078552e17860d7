#ifndef WOAD_ANALYSIS_DIFFERENCE_H
#define WOAD_ANALYSIS_DIFFERENCE_H

#include "values/colour.h"

#include <stdbool.h>

/*
 * What differs between two colours, in figures and in words: the one place
 * where changes of colour are put into words. `from` is what one starts at
 * (the wet swatch, the old batch, the ink asked about), `to` what it became or
 * is compared with.
 *
 *   struct difference difference = difference_between(from, to);
 *   char words[DIFFERENCE_WORDS_SIZE];
 *   difference_words(&difference, DIFFERENCE_NOTICEABLE, words);
 *
 * gives "lighter, duller, same hue".
 */
struct difference {
    struct lab from, to;
    double delta_e; /* 2000 */
    double dL;      /* lightness, L* */
    double dC;      /* chroma, C* */
    double dH;      /* hue, metric: squared, dL + dC + dH make delta E of 1976; > 0: h grows */
    /* the same three moves one at a time, as delta E 2000: which of them one sees */
    double seen_lightness, seen_chroma, seen_hue;
};

struct difference difference_between(struct lab from, struct lab to);

/* Moves of less than this are not put into words. Common practice, no source: about half of what
 * a trained eye notices side by side. */
#define DIFFERENCE_NOTICEABLE 0.5

#define DIFFERENCE_WORDS_SIZE 96

/**
 * Put a difference into words: "lighter" or "darker", "brighter" or "duller"
 * (more or less colourful), and "redder", "yellower", "greener" or "bluer" or
 * "same hue"; "alike" where none of the three moves.
 *
 * Units:   `least` delta E 2000: a smaller move along one of the three is not
 *          named; give the uncertainty where it is larger than what is noticed.
 * Source:  hue words by the unique hues' angles in CIELAB (red 25, yellow 92,
 *          green 165, blue 246 degrees), from memory; near a neutral by the
 *          direction of the move itself.
 */
void difference_words(const struct difference *difference, double least,
                      char words[DIFFERENCE_WORDS_SIZE]);

/**
 * One word for the whole: "deeper" (darker and more colourful), "brighter"
 * (lighter and more colourful), "paler" (lighter and less), "muddier" (darker and less),
 * or "" where fewer than two of the moves reach `least`.
 */
const char *difference_character(const struct difference *difference, double least);

/** The hue that a colour of this hue angle nears when the angle grows, or falls: "redder", ... */
const char *difference_turn_word(double degrees, bool grows);

/** "warmer" or "cooler" where the move towards orange or blue reaches `least`; else "". */
const char *difference_warmth(const struct difference *difference, double least);

#endif
