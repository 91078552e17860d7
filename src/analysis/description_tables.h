#ifndef WOAD_ANALYSIS_DESCRIPTION_TABLES_H
#define WOAD_ANALYSIS_DESCRIPTION_TABLES_H

/* Private to src/analysis: where each colour name begins and ends. */

#include "analysis/description.h"

/* The hue names; grey, black and white with a tint are hues of their own. */
enum hue {
    WHITE,
    PINKISH_WHITE,
    YELLOWISH_WHITE,
    GREENISH_WHITE,
    BLUISH_WHITE,
    PURPLISH_WHITE,
    GREY,
    PINKISH_GREY,
    REDDISH_GREY,
    BROWNISH_GREY,
    YELLOWISH_GREY,
    OLIVE_GREY,
    GREENISH_GREY,
    BLUISH_GREY,
    PURPLISH_GREY,
    BLACK,
    REDDISH_BLACK,
    BROWNISH_BLACK,
    OLIVE_BLACK,
    GREENISH_BLACK,
    BLUISH_BLACK,
    PURPLISH_BLACK,
    PINK,
    PURPLISH_PINK,
    YELLOWISH_PINK,
    BROWNISH_PINK,
    RED,
    PURPLISH_RED,
    REDDISH_ORANGE,
    ORANGE,
    BROWNISH_ORANGE,
    ORANGE_YELLOW,
    YELLOW,
    GREENISH_YELLOW,
    REDDISH_BROWN,
    BROWN,
    YELLOWISH_BROWN,
    OLIVE_BROWN,
    OLIVE,
    OLIVE_GREEN,
    YELLOW_GREEN,
    YELLOWISH_GREEN,
    GREEN,
    BLUISH_GREEN,
    GREENISH_BLUE,
    BLUE,
    PURPLISH_BLUE,
    VIOLET,
    PURPLE,
    REDDISH_PURPLE,
    HUES
};

/* A block of colour space: hue angle in degrees (through 360 where the first is
 * the larger), lightness, chroma; lower bounds belong to it, upper ones do not. */
struct hue_block {
    double hue_from, hue_to;
    double L_from, L_to;
    double chroma_from, chroma_to;
    enum hue hue;
};

/* The first block that holds a colour names its hue. Together they hold every colour. */
extern const struct hue_block hue_blocks[];
extern const int hue_block_count;

/* The modifiers of a hue, by chroma (greyish to vivid) and lightness (dark to light). */
#define MODIFIER_CHROMAS 4
#define MODIFIER_LIGHTNESSES 5
struct modifier_grid {
    const char *words[MODIFIER_CHROMAS][MODIFIER_LIGHTNESSES];
};

struct hue_terms {
    const char *name;
    enum colour_family family;
    const struct modifier_grid *grid; /* NULL: no modifier */
    double L_bound[MODIFIER_LIGHTNESSES - 1];
    double chroma_bound[MODIFIER_CHROMAS - 1];
};

extern const struct hue_terms hue_terms[HUES];

#endif
