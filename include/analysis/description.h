#ifndef WOAD_ANALYSIS_DESCRIPTION_H
#define WOAD_ANALYSIS_DESCRIPTION_H

#include "analysis/range.h"
#include "values/colour.h"

/*
 * Colours in plain words: a hue name and a modifier ("dark greyish blue"),
 * after the ISCC-NBS system. That system bounds its names in Munsell terms;
 * the bounds in L*, C* and h used here are our own, in the tables of
 * description_tables.c.
 */

/* The eight families a range is sorted into. */
enum colour_family {
    FAMILY_REDS,
    FAMILY_ORANGES,
    FAMILY_YELLOWS,
    FAMILY_GREENS,
    FAMILY_BLUES,
    FAMILY_PURPLES,
    FAMILY_BROWNS,
    FAMILY_NEUTRALS,
    FAMILY_COUNT
};

struct description {
    const char *modifier; /* "dark greyish"; empty for some */
    const char *hue;      /* "blue" */
    enum colour_family family;
};

struct description description_of(struct lab lab);

/** "reds" and so on. */
const char *description_family_name(enum colour_family family);

/** Modifier and hue as one text. */
#define DESCRIPTION_SIZE 64
void description_words(struct lab lab, char words[DESCRIPTION_SIZE]);

/**
 * The undertone: the name of the hue alone, however greyed ("purplish red").
 *
 * Returns: NULL for a colour too near grey to have one.
 */
const char *description_undertone(struct lab lab);

/**
 * How the hue moves as an ink thins, from a swatch at full strength and a
 * lighter part of it: "bluer", "no other hue", or that it can't be told.
 *
 * Units:   `degrees` NULL, or takes the turn of the hue angle.
 */
const char *description_as_it_thins(const struct range_ink *full, const struct range_ink *thin,
                                    double *degrees);

#endif
