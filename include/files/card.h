#ifndef WOAD_FILES_CARD_H
#define WOAD_FILES_CARD_H

#include "base/error.h"
#include "values/colour.h"

#define CARD_ROWS 4
#define CARD_COLUMNS 6
#define CARD_PATCHES (CARD_ROWS * CARD_COLUMNS)
#define CARD_FIRST_NEUTRAL 18 /* the six neutrals are the last row, white to black */
#define CARD_NEUTRALS 6

/*
 * The known colours of a 24-patch reference card: Lab D50, 2 degree observer,
 * row by row from the brown patch; the last row runs from white to black.
 */
struct card {
    char name[128];
    char source[256];
    char patch_name[CARD_PATCHES][32];
    struct lab patch[CARD_PATCHES];
    char other_edition[32]; /* what another edition of the same card goes by; empty: none known */
    struct lab other_patch[CARD_PATCHES];
};

/**
 * Read a card's values from a CGATS text file (ISO 28178): 24 sets with LAB_L,
 * LAB_A and LAB_B, in the order of struct card, and a name in SAMPLE_NAME or
 * SAMPLE_ID.
 *
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
