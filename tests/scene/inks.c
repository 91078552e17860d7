#include "inks.h"

#include "basics.h"
#include "noise.h"

#include <math.h>
#include <stdio.h>

enum { BANDS_PER_COLORANT = 3, PARTS = 3 };

enum colorant {
    NONE,
    LEMON,
    AMBER,
    VERMILION,
    CARMINE,
    MAGENTA,
    VIOLET,
    BLUE,
    CYAN,
    TEAL,
    UMBER,
    SOOT,
    COLORANTS
};

enum medium { DYE, PIGMENT };

/* Absorption bands: centre and the widths towards shorter and longer waves. */
static const struct {
    double centre_nm, short_nm, long_nm, strength;
} colorants[COLORANTS][BANDS_PER_COLORANT] = {
    [LEMON] = {{405, 50, 34, 1.0}, {450, 30, 20, 0.75}, {360, 40, 40, 0.5}},
    [AMBER] = {{430, 60, 45, 1.0}, {490, 35, 24, 0.8}, {380, 40, 40, 0.4}},
    [VERMILION] = {{470, 60, 45, 1.0}, {540, 30, 17, 0.9}, {390, 40, 40, 0.5}},
    [CARMINE] = {{520, 48, 24, 1.0}, {562, 20, 14, 0.8}, {410, 60, 40, 0.45}},
    [MAGENTA] = {{550, 34, 19, 1.0}, {512, 28, 25, 0.6}, {380, 35, 35, 0.25}},
    [VIOLET] = {{585, 38, 24, 1.0}, {540, 34, 30, 0.7}, {370, 30, 30, 0.3}},
    [BLUE] = {{610, 45, 50, 1.0}, {665, 35, 60, 0.6}, {350, 30, 40, 0.4}},
    [CYAN] = {{630, 42, 30, 0.9}, {690, 40, 70, 1.0}, {350, 30, 45, 0.4}},
    [TEAL] = {{645, 45, 60, 1.0}, {440, 45, 35, 0.45}, {700, 40, 90, 0.6}},
    [UMBER] = {{380, 60, 130, 1.0}, {520, 70, 90, 0.35}, {700, 150, 100, 0.16}},
    [SOOT] = {{400, 200, 300, 0.9}, {560, 160, 220, 0.35}, {700, 120, 160, 0.2}},
};

static const struct ink {
    const char *name;
    enum medium medium;
    struct {
        enum colorant colorant;
        double amount;
    } part[PARTS];
} inks[] = {
    {"Radish 4", DYE, {{MAGENTA, 0.22}, {CARMINE, 0.10}}},
    {"Sweet Pea 31", DYE, {{MAGENTA, 0.42}}},
    {"Foxglove 58", DYE, {{MAGENTA, 0.95}}},
    {"Dahlia 17", PIGMENT, {{MAGENTA, 1.6}, {CARMINE, 0.3}}},
    {"Beetroot 12", DYE, {{CARMINE, 1.0}, {MAGENTA, 0.7}, {SOOT, 0.12}}},
    {"Rhubarb 9", PIGMENT, {{CARMINE, 0.55}, {AMBER, 0.08}}},
    {"Turnip 26", DYE, {{CARMINE, 0.16}, {AMBER, 0.06}}},
    {"Redcurrant 40", PIGMENT, {{CARMINE, 1.9}, {LEMON, 0.3}}},
    {"Cherry 3", DYE, {{CARMINE, 1.3}, {VERMILION, 0.5}, {SOOT, 0.25}}},
    {"Poppy 66", PIGMENT, {{VERMILION, 1.5}, {CARMINE, 0.5}}},
    {"Tomato 21", PIGMENT, {{VERMILION, 1.9}}},
    {"Peach 14", DYE, {{VERMILION, 0.2}}},
    {"Chilli 35", PIGMENT, {{VERMILION, 1.4}, {UMBER, 0.8}, {SOOT, 0.25}}},
    {"Shallot 52", DYE, {{VERMILION, 0.45}, {UMBER, 0.35}}},
    {"Carrot 8", PIGMENT, {{VERMILION, 0.75}, {AMBER, 1.2}}},
    {"Nasturtium 47", DYE, {{VERMILION, 0.5}, {AMBER, 0.9}}},
    {"Apricot 29", DYE, {{VERMILION, 0.16}, {AMBER, 0.30}}},
    {"Pumpkin 60", PIGMENT, {{AMBER, 1.9}, {CARMINE, 0.12}}},
    {"Marigold 18", PIGMENT, {{AMBER, 1.7}}},
    {"Squash 73", DYE, {{AMBER, 0.55}}},
    {"Barley 37", DYE, {{AMBER, 0.22}, {UMBER, 0.12}}},
    {"Mustard 11", PIGMENT, {{AMBER, 1.0}, {LEMON, 0.6}, {UMBER, 0.45}}},
    {"Quince 24", PIGMENT, {{LEMON, 1.7}, {AMBER, 0.35}}},
    {"Sweetcorn 55", DYE, {{LEMON, 1.5}}},
    {"Primrose 6", DYE, {{LEMON, 0.45}}},
    {"Parsnip 42", DYE, {{LEMON, 0.18}, {AMBER, 0.03}}},
    {"Gooseberry 13", DYE, {{LEMON, 0.9}, {TEAL, 0.10}}},
    {"Lettuce 38", DYE, {{LEMON, 0.45}, {CYAN, 0.14}}},
    {"Pea 20", PIGMENT, {{LEMON, 1.5}, {CYAN, 0.35}}},
    {"Marrow 64", PIGMENT, {{LEMON, 1.2}, {TEAL, 0.7}, {UMBER, 0.3}}},
    {"Celery 27", DYE, {{LEMON, 0.9}, {TEAL, 0.5}, {UMBER, 0.55}}},
    {"Spinach 51", PIGMENT, {{LEMON, 1.1}, {CYAN, 0.9}, {SOOT, 0.2}}},
    {"Cucumber 7", DYE, {{LEMON, 0.8}, {CYAN, 0.75}}},
    {"Sage 33", DYE, {{TEAL, 0.28}, {LEMON, 0.15}, {SOOT, 0.12}}},
    {"Parsley 16", DYE, {{TEAL, 0.9}, {LEMON, 0.8}, {SOOT, 0.15}}},
    {"Leek 45", PIGMENT, {{TEAL, 1.3}, {LEMON, 0.5}}},
    {"Cabbage 22", PIGMENT, {{TEAL, 1.8}, {CYAN, 0.5}, {SOOT, 0.5}}},
    {"Kale 70", DYE, {{TEAL, 1.2}, {BLUE, 0.4}, {SOOT, 0.5}}},
    {"Mint 5", DYE, {{TEAL, 0.35}}},
    {"Rosemary 39", DYE, {{TEAL, 0.30}, {CYAN, 0.12}, {SOOT, 0.22}}},
    {"Broccoli 54", PIGMENT, {{CYAN, 1.1}, {TEAL, 0.7}}},
    {"Watercress 28", DYE, {{CYAN, 0.95}, {TEAL, 0.35}}},
    {"Thyme 61", DYE, {{CYAN, 0.5}, {TEAL, 0.15}, {SOOT, 0.1}}},
    {"Fennel 10", DYE, {{CYAN, 0.16}}},
    {"Sea Holly 49", PIGMENT, {{CYAN, 1.5}, {SOOT, 0.25}}},
    {"Flax 25", DYE, {{CYAN, 0.55}, {BLUE, 0.08}}},
    {"Chicory 43", PIGMENT, {{CYAN, 1.7}, {BLUE, 0.4}}},
    {"Nigella 36", DYE, {{BLUE, 0.16}, {CYAN, 0.08}}},
    {"Borage 15", DYE, {{BLUE, 0.55}, {CYAN, 0.25}}},
    {"Delphinium 68", PIGMENT, {{BLUE, 1.3}, {CYAN, 0.5}, {VIOLET, 0.2}}},
    {"Cornflower 30", DYE, {{BLUE, 0.85}, {VIOLET, 0.25}}},
    {"Sloe 57", PIGMENT, {{BLUE, 1.9}, {VIOLET, 0.9}, {SOOT, 0.6}}},
    {"Hyssop 19", DYE, {{BLUE, 0.75}, {VIOLET, 0.55}}},
    {"Iris 46", PIGMENT, {{VIOLET, 1.3}, {BLUE, 0.9}}},
    {"Lavender 32", DYE, {{VIOLET, 0.22}, {BLUE, 0.1}}},
    {"Catmint 63", DYE, {{VIOLET, 0.45}, {MAGENTA, 0.15}}},
    {"Viola 2", DYE, {{VIOLET, 1.1}, {MAGENTA, 0.2}}},
    {"Cardoon 41", PIGMENT, {{VIOLET, 1.0}, {MAGENTA, 0.8}}},
    {"Aubergine 23", DYE, {{VIOLET, 1.1}, {MAGENTA, 0.7}, {SOOT, 0.65}}},
    {"Mallow 50", DYE, {{MAGENTA, 0.45}, {VIOLET, 0.35}, {SOOT, 0.08}}},
    {"Plum 34", PIGMENT, {{MAGENTA, 1.2}, {VIOLET, 0.6}, {UMBER, 0.35}}},
    {"Fig 65", PIGMENT, {{MAGENTA, 0.7}, {CARMINE, 0.5}, {SOOT, 0.7}}},
    {"Hazelnut 48", DYE, {{UMBER, 0.55}, {AMBER, 0.15}}},
    {"Rye 59", DYE, {{UMBER, 0.32}}},
    {"Medlar 44", PIGMENT, {{UMBER, 1.1}, {VERMILION, 0.4}}},
    {"Chestnut 72", DYE, {{UMBER, 0.9}, {VERMILION, 0.25}, {SOOT, 0.1}}},
    {"Walnut 62", PIGMENT, {{UMBER, 1.6}, {VERMILION, 0.5}, {SOOT, 0.5}}},
    {"Date 53", DYE, {{UMBER, 1.2}, {CARMINE, 0.15}, {SOOT, 0.7}}},
    {"Garlic 67", DYE, {{SOOT, 0.12}}},
    {"Salsify 56", DYE, {{SOOT, 0.28}}},
    {"Oyster Plant 69", PIGMENT, {{SOOT, 0.5}, {BLUE, 0.04}}},
    {"Juniper 1", DYE, {{SOOT, 0.7}, {BLUE, 0.18}}},
    {"Blackcurrant 71", PIGMENT, {{SOOT, 1.0}}},
    {"Elder 74", PIGMENT, {{SOOT, 2.2}}},
};

int inks_full_count(void)
{
    return (int)(sizeof inks / sizeof *inks);
}

int inks_count(void)
{
    return 2 * inks_full_count();
}

void ink_name(int ink, char name[INK_NAME_SIZE])
{
    int full = inks_full_count();

    snprintf(name, INK_NAME_SIZE, "%s%s", ink < full ? "" : "Thin ", inks[ink % full].name);
}

struct spectrum paper_reflectance(enum paper paper)
{
    static const double level[PAPERS] = {0.89, 0.87, 0.79};
    static const double yellowing[PAPERS] = {0.015, 0.17, 0.05};
    struct spectrum reflectance;

    for (int i = 0; i < BANDS; i++) {
        double nm = spectrum_nm(i);

        reflectance.at[i] = level[paper] *
                            (1.0 - yellowing[paper] * falling_edge(nm - 490.0, 38.0)) *
                            (1.0 - 0.45 * falling_edge(nm - 392.0, 9.0));
    }
    return reflectance;
}

static double band_absorption(enum colorant colorant, double nm)
{
    const double broadening = 1.12; /* the colorants are no purer than those one can buy */
    double sum = colorant == NONE ? 0.0 : 0.055 + 0.03 * falling_edge(nm - 450.0, 40.0);

    for (int i = 0; i < BANDS_PER_COLORANT; i++) {
        double offset_nm = nm - colorants[colorant][i].centre_nm;
        double width_nm =
            offset_nm < 0.0 ? colorants[colorant][i].short_nm : colorants[colorant][i].long_nm;

        sum +=
            colorants[colorant][i].strength * exp(-0.5 * square(offset_nm / width_nm / broadening));
    }
    return sum;
}

/* A dye is a clear filter crossed twice: Beer and Lambert. */
static double dye_over(double paper, double absorption)
{
    return paper * pow(10.0, -absorption);
}

/* A pigment scatters too: the Kubelka-Munk layer of absorption K, scatter S = 1. */
static double pigment_over(double paper, double absorption, double thickness)
{
    double scatter = 0.55 * thickness;
    double a = 1.0 + 1.6 * absorption / fmax(scatter, 1e-9);
    double b = sqrt(a * a - 1.0);
    double c = b / tanh(fmax(b * scatter, 1e-9));

    return (1.0 - paper * (a - c)) / (a - paper + c);
}

struct spectrum ink_reflectance(int ink, const struct spectrum *paper, double density)
{
    const double surface = 0.025;
    const struct ink *full = &inks[ink % inks_full_count()];
    double thickness = ink < inks_full_count() ? density : 0.5 * density;
    struct spectrum reflectance;

    for (int i = 0; i < BANDS; i++) {
        double impurity =
            1.0 + 0.13 * noise_rough(spectrum_nm(i) / 32.0, ink % inks_full_count() * 5.3, 61u);
        double absorption = 0.008 * thickness;
        double bare = (paper->at[i] - surface) / (1.0 - surface);
        double over;

        for (int j = 0; j < PARTS; j++)
            absorption += impurity * thickness * full->part[j].amount *
                          band_absorption(full->part[j].colorant, spectrum_nm(i));
        over = full->medium == DYE || thickness <= 0.0 ? dye_over(bare, absorption)
                                                       : pigment_over(bare, absorption, thickness);
        reflectance.at[i] = surface + (1.0 - surface) * over;
    }
    return reflectance;
}
