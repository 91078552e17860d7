#ifndef WOAD_TESTS_CARD_VALUES_H
#define WOAD_TESTS_CARD_VALUES_H

#include "files/card.h"

#include <string.h>

/* The shape of the card that ships with the program. */
#define CARD_ROWS 4
#define CARD_COLUMNS 6
#define CARD_PATCHES (CARD_ROWS * CARD_COLUMNS)
#define CARD_FIRST_NEUTRAL 18 /* the six neutrals are the last row, white to black */
#define CARD_NEUTRALS 6

static const struct card_shape card_values_shape = {CARD_ROWS, CARD_COLUMNS, CARD_PATCHES,
                                                    CARD_FIRST_NEUTRAL, CARD_PATCHES - 1};

/* The 24-patch card's Lab D50, cards made from November 2014.
 * Source: ColorChecker 24, as commonly tabulated, from memory. */
static inline struct card card_values(void)
{
    static const struct lab patches[CARD_PATCHES] = {
        {37.54, 14.37, 14.92},  {64.66, 19.27, 17.50},  {49.32, -3.82, -22.54},
        {43.46, -12.74, 22.72}, {54.94, 9.61, -24.79},  {70.48, -32.26, -0.37},
        {62.73, 35.83, 56.50},  {39.43, 10.75, -45.17}, {50.57, 48.64, 16.67},
        {30.10, 22.54, -20.87}, {71.77, -24.13, 58.19}, {71.51, 18.24, 67.37},
        {28.37, 15.42, -49.80}, {54.38, -39.72, 32.27}, {42.43, 51.05, 28.62},
        {81.80, 2.67, 80.41},   {50.63, 51.28, -14.12}, {49.57, -29.71, -28.32},
        {95.19, -1.03, 2.93},   {81.29, -0.57, 0.44},   {66.89, -0.75, -0.06},
        {50.76, -0.13, 0.14},   {35.63, -0.46, -0.48},  {20.64, 0.07, -0.46}};
    struct card card = {.name = "card for tests", .shape = card_values_shape};

    memcpy(card.patch, patches, sizeof patches);
    for (int i = CARD_FIRST_NEUTRAL; i < CARD_PATCHES; i++)
        card.neutral[i] = true;
    return card;
}

#endif
