#include "description_tables.h"

#include <stddef.h>

/*
 * Source: the plan of names and modifiers is that of Kelly and Judd, "Color: Universal Language and
 * Dictionary of Names", National Bureau of Standards 1976 (ISCC-NBS), with grey spelt our way. The
 * bounds are ours, set in view of its published centroids; tests/unit/test_description.c prints how
 * far they agree.
 */

#define NONE (-1e9)
#define ANY 1e9

const struct hue_block hue_blocks[] = {
    {0, 360, 86, ANY, 0, 1.9, WHITE},
    {0, 360, 25, 86, 0, 1.9, GREY},
    {0, 360, NONE, 25, 0, 1.9, BLACK},

    /* whites with a tint, then greys, then blacks */
    {0, 65, 86, ANY, 0, 5, PINKISH_WHITE},
    {65, 130, 86, ANY, 0, 18, YELLOWISH_WHITE},
    {130, 210, 86, ANY, 0, 9, GREENISH_WHITE},
    {210, 315, 86, ANY, 0, 7, BLUISH_WHITE},
    {315, 360, 86, ANY, 0, 6, PURPLISH_WHITE},

    {0, 60, 66, 86, 0, 7, PINKISH_GREY},
    {60, 125, 66, 86, 0, 13, YELLOWISH_GREY},
    {0, 45, 25, 66, 0, 7, REDDISH_GREY},
    {45, 76, 46, 66, 0, 9, BROWNISH_GREY},
    {45, 76, 25, 46, 0, 7, BROWNISH_GREY},
    {76, 125, 46, 66, 0, 13, OLIVE_GREY},
    {76, 125, 25, 46, 0, 8, OLIVE_GREY},
    {125, 205, 46, 86, 0, 7, GREENISH_GREY},
    {125, 205, 25, 46, 0, 6, GREENISH_GREY},
    {205, 300, 25, 86, 0, 6.5, BLUISH_GREY},
    {300, 360, 25, 86, 0, 6.5, PURPLISH_GREY},

    {345, 30, NONE, 20, 0, 6.5, REDDISH_BLACK},
    {30, 75, NONE, 20, 0, 6.5, BROWNISH_BLACK},
    {75, 125, NONE, 20, 0, 6, OLIVE_BLACK},
    {125, 205, NONE, 20, 0, 4, GREENISH_BLACK},
    {205, 290, NONE, 20, 0, 5, BLUISH_BLACK},
    {290, 345, NONE, 20, 0, 5, PURPLISH_BLACK},

    /* greyish: few hues are told apart */
    {130, 205, NONE, ANY, 0, 14, GREEN},
    {205, 264, NONE, ANY, 0, 15, BLUE},
    {312, 343, NONE, 53, 0, 14, PURPLE},
    {305, 335, 53, ANY, 0, 14, PURPLE},
    {343, 26, NONE, 53, 0, 14, RED},

    /* pinks */
    {335, 11, 66, ANY, 0, ANY, PURPLISH_PINK},
    {345, 11, 53, 66, 23, ANY, PURPLISH_PINK},
    {11, 29, 66, ANY, 0, ANY, PINK},
    {11, 29, 53, 66, 22, ANY, PINK},
    {29, 42, 58, ANY, 26, ANY, YELLOWISH_PINK},
    {42, 55, 58, ANY, 26, 58, YELLOWISH_PINK},
    {29, 42, 66, ANY, 0, ANY, YELLOWISH_PINK},
    {42, 55, 66, ANY, 0, 58, YELLOWISH_PINK},
    {55, 68, 80, ANY, 0, 30, YELLOWISH_PINK},
    {55, 76, 66, 80, 0, 25, BROWNISH_PINK},

    /* reds and reddish purples, which lean to purple as they darken */
    {312, 327, NONE, ANY, 0, ANY, PURPLE},
    {327, 335, NONE, 22, 0, ANY, REDDISH_PURPLE},
    {327, 345, 22, 40, 0, ANY, REDDISH_PURPLE},
    {327, 349, 40, 66, 0, ANY, REDDISH_PURPLE},
    {335, 350, NONE, 22, 0, ANY, PURPLISH_RED},
    {345, 8, 22, 40, 0, ANY, PURPLISH_RED},
    {349, 12, 40, 66, 0, ANY, PURPLISH_RED},
    {350, 18, NONE, 22, 0, ANY, RED},
    {8, 30, 22, 40, 0, ANY, RED},
    {12, 33, 40, 66, 0, ANY, RED},
    {30, 36, 22, 46, 48, ANY, RED},

    /* oranges and browns, parted by lightness and chroma */
    {33, 53, 46, 58, 28, ANY, REDDISH_ORANGE},
    {33, 53, 37, 46, 38, ANY, REDDISH_ORANGE},
    {42, 47, 58, ANY, 58, ANY, REDDISH_ORANGE}, /* more colourful than any pink */
    {47, 53, 58, ANY, 58, ANY, ORANGE},
    {53, 66, 59, ANY, 38, ANY, ORANGE},
    {53, 66, 46, 59, 57, ANY, ORANGE},
    {53, 66, 46, 59, 38, 57, BROWNISH_ORANGE},
    {18, 46, NONE, 46, 0, ANY, REDDISH_BROWN},
    {30, 57, 46, 66, 0, ANY, REDDISH_BROWN},
    {46, 61, NONE, 30, 0, ANY, BROWN},
    {46, 64, 30, 46, 0, ANY, BROWN},
    {57, 66, 46, 66, 0, ANY, BROWN},
    {66, 80, 55, ANY, 42, ANY, ORANGE_YELLOW},
    {66, 80, 69, ANY, 0, ANY, ORANGE_YELLOW},
    {61, 76, NONE, 69, 0, ANY, YELLOWISH_BROWN},

    /* yellows and olives */
    {76, 88, NONE, 58, 0, ANY, OLIVE_BROWN},
    {80, 93.5, 58, ANY, 0, ANY, YELLOW},
    {76, 80, 58, ANY, 0, ANY, ORANGE_YELLOW},
    {93.5, 106, 58, ANY, 0, ANY, GREENISH_YELLOW},
    {88, 106, NONE, 58, 0, ANY, OLIVE},

    /* greens */
    {106, 130, 41, ANY, 0, ANY, YELLOW_GREEN},
    {106, 130, 30, 41, 0, ANY, OLIVE_GREEN},
    {106, 139, NONE, 30, 0, ANY, OLIVE_GREEN},
    {130, 151, 30, ANY, 0, ANY, YELLOWISH_GREEN},
    {139, 158, NONE, 30, 0, ANY, YELLOWISH_GREEN},
    {151, 176, 30, ANY, 0, ANY, GREEN},
    {158, 180, NONE, 30, 0, ANY, GREEN},
    {176, 206, NONE, ANY, 0, ANY, BLUISH_GREEN},

    /* blues and purples, whose hue angle grows as they darken */
    {206, 236, NONE, ANY, 0, ANY, GREENISH_BLUE},
    {236, 264, 70, ANY, 0, ANY, BLUE},
    {236, 270, NONE, 70, 0, ANY, BLUE},
    {264, 284, 70, ANY, 0, ANY, PURPLISH_BLUE},
    {270, 288, 50, 70, 0, ANY, PURPLISH_BLUE},
    {270, 294, 25, 50, 0, ANY, PURPLISH_BLUE},
    {270, 301, NONE, 25, 0, ANY, PURPLISH_BLUE},
    {284, 305, 70, ANY, 0, ANY, VIOLET},
    {288, 312, NONE, 70, 0, ANY, VIOLET},
    {305, 335, 66, ANY, 0, ANY, PURPLE},
    {29, 66, 58, ANY, 0, ANY, YELLOWISH_PINK},
};

const int hue_block_count = sizeof hue_blocks / sizeof *hue_blocks;

/* --- modifiers ------------------------------------------------------------------------------ */

static const struct modifier_grid grid_hue = {
    {{"blackish", "dark greyish", "greyish", "pale", "very pale"},
     {"very dark", "dark", "moderate", "light", "very light"},
     {"very deep", "deep", "strong", "brilliant", "brilliant"},
     {"vivid", "vivid", "vivid", "vivid", "vivid"}}};

static const struct modifier_grid grid_red = {
    {{"blackish", "dark greyish", "greyish", "light greyish", "light greyish"},
     {"very dark", "dark", "moderate", "light", "light"},
     {"very deep", "deep", "strong", "strong", "strong"},
     {"vivid", "vivid", "vivid", "vivid", "vivid"}}};

static const struct modifier_grid grid_pink = {
    {{"greyish", "greyish", "greyish", "pale", "pale"},
     {"dark", "dark", "moderate", "light", "light"},
     {"deep", "deep", "strong", "brilliant", "brilliant"},
     {"deep", "deep", "vivid", "vivid", "vivid"}}};

static const struct modifier_grid grid_brown = {
    {{"dark greyish", "dark greyish", "greyish", "light greyish", "light greyish"},
     {"dark", "dark", "moderate", "light", "light"},
     {"deep", "deep", "strong", "strong", "strong"},
     {"deep", "deep", "strong", "strong", "strong"}}};

static const struct modifier_grid grid_yellow = {
    {{"dark greyish", "dark greyish", "greyish", "pale", "pale"},
     {"dark", "dark", "moderate", "light", "light"},
     {"deep", "deep", "strong", "brilliant", "brilliant"},
     {"vivid", "vivid", "vivid", "vivid", "vivid"}}};

static const struct modifier_grid grid_grey = {{{"dark", "dark", "", "light", "light"},
                                                {"dark", "dark", "", "light", "light"},
                                                {"dark", "dark", "", "light", "light"},
                                                {"dark", "dark", "", "light", "light"}}};

const struct hue_terms hue_terms[HUES] = {
    [WHITE] = {"white", FAMILY_NEUTRALS, NULL, {0}, {0}},
    [PINKISH_WHITE] = {"pinkish white", FAMILY_NEUTRALS, NULL, {0}, {0}},
    [YELLOWISH_WHITE] = {"yellowish white", FAMILY_NEUTRALS, NULL, {0}, {0}},
    [GREENISH_WHITE] = {"greenish white", FAMILY_NEUTRALS, NULL, {0}, {0}},
    [BLUISH_WHITE] = {"bluish white", FAMILY_NEUTRALS, NULL, {0}, {0}},
    [PURPLISH_WHITE] = {"purplish white", FAMILY_NEUTRALS, NULL, {0}, {0}},
    [GREY] = {"grey", FAMILY_NEUTRALS, &grid_grey, {46, 46, 66, 66}, {0}},
    [PINKISH_GREY] = {"pinkish grey", FAMILY_NEUTRALS, NULL, {0}, {0}},
    [REDDISH_GREY] = {"reddish grey", FAMILY_NEUTRALS, &grid_grey, {46, 46, 66, 66}, {0}},
    [BROWNISH_GREY] = {"brownish grey", FAMILY_NEUTRALS, &grid_grey, {0, 0, 46, 46}, {0}},
    [YELLOWISH_GREY] = {"yellowish grey", FAMILY_NEUTRALS, NULL, {0}, {0}},
    [OLIVE_GREY] = {"olive grey", FAMILY_NEUTRALS, &grid_grey, {0, 0, 46, 46}, {0}},
    [GREENISH_GREY] = {"greenish grey", FAMILY_NEUTRALS, &grid_grey, {46, 46, 66, 66}, {0}},
    [BLUISH_GREY] = {"bluish grey", FAMILY_NEUTRALS, &grid_grey, {46, 46, 66, 66}, {0}},
    [PURPLISH_GREY] = {"purplish grey", FAMILY_NEUTRALS, &grid_grey, {46, 46, 66, 66}, {0}},
    [BLACK] = {"black", FAMILY_NEUTRALS, NULL, {0}, {0}},
    [REDDISH_BLACK] = {"reddish black", FAMILY_NEUTRALS, NULL, {0}, {0}},
    [BROWNISH_BLACK] = {"brownish black", FAMILY_NEUTRALS, NULL, {0}, {0}},
    [OLIVE_BLACK] = {"olive black", FAMILY_NEUTRALS, NULL, {0}, {0}},
    [GREENISH_BLACK] = {"greenish black", FAMILY_NEUTRALS, NULL, {0}, {0}},
    [BLUISH_BLACK] = {"bluish black", FAMILY_NEUTRALS, NULL, {0}, {0}},
    [PURPLISH_BLACK] = {"purplish black", FAMILY_NEUTRALS, NULL, {0}, {0}},
    [PINK] = {"pink", FAMILY_REDS, &grid_pink, {66, 66, 80, 80}, {12, 33, ANY}},
    [PURPLISH_PINK] = {"purplish pink", FAMILY_REDS, &grid_pink, {66, 66, 80, 80}, {15, 33, ANY}},
    [YELLOWISH_PINK] =
        {"yellowish pink", FAMILY_ORANGES, &grid_pink, {66, 66, 80, 80}, {15, 33, ANY}},
    [BROWNISH_PINK] = {"brownish pink", FAMILY_BROWNS, NULL, {0}, {0}},
    [RED] = {"red", FAMILY_REDS, &grid_red, {22, 38, 53, 53}, {18, 36, 60}},
    [PURPLISH_RED] = {"purplish red", FAMILY_REDS, &grid_red, {22, 37, 53, 53}, {24, 42, 53}},
    [REDDISH_ORANGE] =
        {"reddish orange", FAMILY_ORANGES, &grid_yellow, {48, 48, ANY, ANY}, {40, 55, 70}},
    [ORANGE] = {"orange", FAMILY_ORANGES, &grid_yellow, {59, 59, 69, ANY}, {40, 55, 76}},
    [BROWNISH_ORANGE] = {"brownish orange", FAMILY_BROWNS, NULL, {0}, {0}},
    [ORANGE_YELLOW] =
        {"orange yellow", FAMILY_YELLOWS, &grid_yellow, {67, 67, 78, 78}, {40, 57, 77}},
    [YELLOW] = {"yellow", FAMILY_YELLOWS, &grid_yellow, {66, 66, 80, 80}, {36, 56, 75}},
    [GREENISH_YELLOW] =
        {"greenish yellow", FAMILY_YELLOWS, &grid_yellow, {66, 66, 80, 80}, {36, 56, 76}},
    [REDDISH_BROWN] =
        {"reddish brown", FAMILY_BROWNS, &grid_brown, {25, 25, 45, 45}, {16, 36, ANY}},
    [BROWN] = {"brown", FAMILY_BROWNS, &grid_brown, {28, 28, 46, 46}, {15, 28.4, ANY}},
    [YELLOWISH_BROWN] =
        {"yellowish brown", FAMILY_BROWNS, &grid_brown, {35, 35, 55, 55}, {18, 42, ANY}},
    [OLIVE_BROWN] = {"olive brown", FAMILY_BROWNS, &grid_brown, {30, 30, 45, 45}, {5, ANY, ANY}},
    [OLIVE] = {"olive", FAMILY_GREENS, &grid_brown, {30, 30, 46, 46}, {17, ANY, ANY}},
    [OLIVE_GREEN] = {"olive green", FAMILY_GREENS, &grid_brown, {22, 28, 46, 46}, {14, 38, ANY}},
    [YELLOW_GREEN] = {"yellow green", FAMILY_GREENS, &grid_hue, {30, 50, 72, ANY}, {25, 42, 69}},
    [YELLOWISH_GREEN] =
        {"yellowish green", FAMILY_GREENS, &grid_hue, {20, 42, 65, 80}, {15, 36, 56}},
    [GREEN] = {"green", FAMILY_GREENS, &grid_hue, {22, 38, 55, 72}, {14, 28.5, 44.5}},
    [BLUISH_GREEN] = {"bluish green", FAMILY_GREENS, &grid_hue, {20, 38, 55, 72}, {14, 28, 33}},
    [GREENISH_BLUE] = {"greenish blue", FAMILY_BLUES, &grid_hue, {20, 38, 55, 72}, {15, 29, 33}},
    [BLUE] = {"blue", FAMILY_BLUES, &grid_hue, {20, 36, 55, 74}, {18, 34, 50}},
    [PURPLISH_BLUE] = {"purplish blue", FAMILY_BLUES, &grid_hue, {12, 28, 50, 70}, {17.4, 32, 50}},
    [VIOLET] = {"violet", FAMILY_PURPLES, &grid_hue, {12, 28, 50, 70}, {18, 34, 50}},
    [PURPLE] = {"purple", FAMILY_PURPLES, &grid_hue, {22, 38, 56, 72}, {15, 33, 55}},
    [REDDISH_PURPLE] =
        {"reddish purple", FAMILY_PURPLES, &grid_hue, {22, 38, 53, 72}, {18, 34, 55}},
};
