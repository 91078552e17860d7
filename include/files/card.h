#ifndef WOAD_FILES_CARD_H
#define WOAD_FILES_CARD_H

#include "base/error.h"
#include "values/colour.h"

#include <stdbool.h>

/* The fit's largest matrices hold 9 numbers for each two patches: 166 kB each for so many. */
#define CARD_PATCHES_MAX 48

/* Fewer colours than these, and a chart of inks passes for a card: recognition has 12 numbers to
 * bend, and takes the best of 8 ways to lay it. Our own judgement. */
#define CARD_PATCHES_MIN 18
#define CARD_SIDE_MIN 3     /* patches along a side: two rows are a strip, which a chart has, too */
#define CARD_NEUTRALS_MIN 3 /* tone is undone by them: fewer tell no curve */

/* How a card's patches lie, row by row. */
struct card_shape {
    int rows;
    int columns;
    int patches;      /* rows * columns */
    int white, black; /* the lightest of the neutrals, and the darkest */
};

/*
 * The known colours of a reference card: Lab D50, 2 degree observer, row by row
 * from the first patch. The usual card has 4 rows of 6 patches, brown first and
 * the last row neutral from white to black.
 */
struct card {
    char name[128];
    char source[256];
    struct card_shape shape;
    char patch_name[CARD_PATCHES_MAX][32];
    struct lab patch[CARD_PATCHES_MAX];
    bool neutral[CARD_PATCHES_MAX];
    char other_edition[32]; /* what another edition of the same card goes by; empty: none known */
    struct lab other_patch[CARD_PATCHES_MAX];
};

/**
 * Read a card's values from a CGATS text file (ISO 28178): sets with LAB_L, LAB_A
 * and LAB_B, in the order of struct card, and a name in SAMPLE_NAME or SAMPLE_ID.
 *
 * A keyword of our own, CARD_COLUMNS, says how many patches a row has; 24 sets
 * without it are the usual card. Neutral is what has next to no chroma.
 * Returns: STATUS_OK; STATUS_FILE; STATUS_FORMAT with what is missing or out of range.
 */
MUST_USE enum status card_read(const char *path, struct card *card, struct error *error);

/**
 * The path of a card that ships with the program ("from-2014-11" or
 * "before-2014-11"), looked for in $WOAD_CALIBRATION, in the sources when
 * run from their build folder, and where it was installed.
 *
 * Returns: STATUS_OK; STATUS_USAGE for an edition there is none of; STATUS_FILE if it lies nowhere.
 */
MUST_USE enum status card_find(const char *edition, char *path, int path_size, struct error *error);

#endif
