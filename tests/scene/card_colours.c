#include "card_colours.h"

#include "basics.h"
#include "noise.h"
#include "plan.h"
#include "smooth.h"

#include <math.h>

/*
 * Source: ColorChecker 24, CIELAB D50, 2 degree observer, as commonly
 * tabulated for cards made before and from November 2014.
 */
static const struct {
    const char *name;
    double lab[2][3];
} patches[PATCHES] = {
    {"dark skin", {{37.986, 13.555, 14.059}, {37.54, 14.37, 14.92}}},
    {"light skin", {{65.711, 18.130, 17.810}, {64.66, 19.27, 17.50}}},
    {"blue sky", {{49.927, -4.880, -21.905}, {49.32, -3.82, -22.54}}},
    {"foliage", {{43.139, -13.095, 21.905}, {43.46, -12.74, 22.72}}},
    {"blue flower", {{55.112, 8.844, -25.399}, {54.94, 9.61, -24.79}}},
    {"bluish green", {{70.719, -33.397, -0.199}, {70.48, -32.26, -0.37}}},
    {"orange", {{62.661, 36.067, 57.096}, {62.73, 35.83, 56.50}}},
    {"purplish blue", {{40.020, 10.410, -45.964}, {39.43, 10.75, -45.17}}},
    {"moderate red", {{51.124, 48.239, 16.248}, {50.57, 48.64, 16.67}}},
    {"purple", {{30.325, 22.976, -21.587}, {30.10, 22.54, -20.87}}},
    {"yellow green", {{72.532, -23.709, 57.255}, {71.77, -24.13, 58.19}}},
    {"orange yellow", {{71.941, 19.363, 67.857}, {71.51, 18.24, 67.37}}},
    {"blue", {{28.778, 14.179, -50.297}, {28.37, 15.42, -49.80}}},
    {"green", {{55.261, -38.342, 31.370}, {54.38, -39.72, 32.27}}},
    {"red", {{42.101, 53.378, 28.190}, {42.43, 51.05, 28.62}}},
    {"yellow", {{81.733, 4.039, 79.819}, {81.80, 2.67, 80.41}}},
    {"magenta", {{51.935, 49.986, -14.574}, {50.63, 51.28, -14.12}}},
    {"cyan", {{51.038, -28.631, -28.638}, {49.57, -29.71, -28.32}}},
    {"white 9.5", {{96.539, -0.425, 1.186}, {95.19, -1.03, 2.93}}},
    {"neutral 8", {{81.257, -0.638, -0.335}, {81.29, -0.57, 0.44}}},
    {"neutral 6.5", {{66.766, -0.734, -0.504}, {66.89, -0.75, -0.06}}},
    {"neutral 5", {{50.867, -0.153, -0.270}, {50.76, -0.13, 0.14}}},
    {"neutral 3.5", {{35.656, -0.421, -1.231}, {35.63, -0.46, -0.48}}},
    {"black 2", {{20.461, -0.079, -0.973}, {20.64, 0.07, -0.46}}},
};

/* Invented: greys down the left and one at the end, three rings of hues between, in no order. */
static const struct {
    const char *name;
    double lab[3];
} invented[PATCHES_MAX] = {
    {"A1", {94.8, -0.6, 1.9}},    {"A2", {80.0, -23.6, 11.0}},  {"A3", {61.6, 45.8, 4.0}},
    {"A4", {36.7, -7.2, -31.2}},  {"A5", {81.3, 8.9, -24.4}},   {"A6", {56.4, -35.2, 29.6}},
    {"B1", {77.3, 0.4, -0.9}},    {"B2", {38.0, 7.6, 33.1}},    {"B3", {61.6, 4.0, -45.8}},
    {"B4", {78.7, 11.0, 23.6}},   {"B5", {39.3, 33.1, -7.6}},   {"B6", {56.4, 29.6, 35.2}},
    {"C1", {59.6, -0.8, 0.7}},    {"C2", {80.0, -24.4, -8.9}},  {"C3", {40.6, -18.0, 28.8}},
    {"C4", {57.7, -35.9, -3.1}},  {"C5", {39.3, 28.8, 18.0}},   {"C6", {77.4, 23.6, -11.0}},
    {"D1", {40.2, 0.5, -1.1}},    {"D2", {59.0, 35.2, -29.6}},  {"D3", {40.6, 18.0, -28.8}},
    {"D4", {78.7, 24.4, 8.9}},    {"D5", {39.3, -18.7, -11.7}}, {"D6", {56.4, -4.0, 45.8}},
    {"E1", {22.9, 0.2, -0.5}},    {"E2", {80.0, -11.0, -23.6}}, {"E3", {40.6, -29.2, 6.7}},
    {"E4", {57.7, -23.1, -27.6}}, {"E5", {81.3, -8.9, 24.4}},   {"E6", {68.4, 0.9, 1.2}},
};

const char *edition_label(enum edition edition)
{
    static const char *const labels[] = {"2005", "2014-11", "invented"};

    return labels[edition];
}

struct patch_grid patch_grid(enum edition edition)
{
    return edition == EDITION_INVENTED ? (struct patch_grid){5, 6} : (struct patch_grid){4, 6};
}

int patch_count(enum edition edition)
{
    struct patch_grid grid = patch_grid(edition);

    return grid.rows * grid.columns;
}

const char *patch_name(enum edition edition, int patch)
{
    return edition == EDITION_INVENTED ? invented[patch].name : patches[patch].name;
}

const double *patch_lab(enum edition edition, int patch)
{
    return edition == EDITION_INVENTED ? invented[patch].lab : patches[patch].lab[edition];
}

/*
 * Real patches are not the smoothest possible: their white pigment absorbs
 * below 410 nm and each has a structure of its own, the same in both editions.
 */
static struct spectrum patch_structure(enum edition edition, int patch)
{
    const double *lab = patch_lab(edition, patch);
    int grey = hypot(lab[1], lab[2]) < 8.0;
    struct spectrum structure;

    for (int i = 0; i < BANDS; i++) {
        double nm = spectrum_nm(i);
        double wave = noise_rough(nm / 45.0, patch * 3.7, 24u);

        structure.at[i] = -1.6 / (1.0 + exp((nm - 402.0) / 7.0)) + (grey ? 0.08 : 0.6) * wave;
    }
    return structure;
}

struct spectrum patch_reflectance(const struct observer *observer, enum edition edition, int patch)
{
    struct spectrum structure = patch_structure(edition, patch);

    return smooth_reflectance(observer, patch_lab(edition, patch), &structure);
}

/* Light bleaches what absorbs, reds soonest; the white yellows. */
static double faded(double good, double nm, int patch, double wear)
{
    double bleached = wear * (0.35 + 0.25 * noise_hash(patch, 0, 91u)) *
                      (0.6 + 0.4 * falling_edge(nm - 590.0, 30.0));
    double yellowed = 1.0 - 0.25 * wear * falling_edge(nm - 470.0, 30.0);

    return yellowed * (good + bleached * (0.8 - good) * (1.0 - good));
}

/* Few inks come near the colours, the deep ones least, under a mirror's veil. */
static double printed(double good, double nm, int patch, double wear)
{
    double off = 0.5 * wear * noise_rough(nm / 60.0, patch * 4.1, 92u);

    return 0.03 * wear + (1.0 - 0.03 * wear) * clamp(good * exp(off), 0.035, 0.9);
}

struct spectrum card_worn(const struct spectrum *good, int patch, int print, double wear)
{
    struct spectrum worn = *good;

    for (int i = 0; i < BANDS && print != CARD_GOOD; i++)
        worn.at[i] = print == CARD_FADED ? faded(good->at[i], spectrum_nm(i), patch, wear)
                                         : printed(good->at[i], spectrum_nm(i), patch, wear);
    return worn;
}
