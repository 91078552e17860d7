/*
 * Write testimages/demo-range.csv: the invented ink range of the Thistlewick Allotment Society as
 * readings to import, 64 inks on two sheets and the thin parts of some. The inks are those of the
 * rendered photos; the errors of the readings are drawn, from the same numbers each time.
 */
#include "scene/inks.h"
#include "scene/spectrum.h"

#include <math.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { INKS = 64, VARIANTS = 20, ON_A_SHEET = 32, COLUMNS = 8, THINS = 8, SHEETS = 2 };

#define PI 3.14159265358979323846

/* Variances of L*, a* and b*: what a photo's readings share, and each has of its own. */
static const double shared_variance[3] = {0.10, 0.12, 0.16};
static const double own_variance[3] = {0.02, 0.03, 0.04};

static double uniform(uint64_t *state)
{
    *state = *state * 6364136223846793005u + 1442695040888963407u;
    return ((double)(*state >> 11) + 0.5) / 9007199254740992.0;
}

static double normal(uint64_t *state)
{
    double radius = sqrt(-2 * log(uniform(state)));

    return radius * cos(2 * PI * uniform(state));
}

/* One reading: `order` counts the cells of its sheet from 0. */
static void write_reading(const char *name, const double lab[3], int sheet, int order,
                          const double shift[3], uint64_t *state)
{
    printf("%s,invented sheet %d,%d,%d,invented paper,2026-04-0%d 09:00:00 +01:00,"
           "2026-04-0%d 11:00:00 +01:00,ink",
           name, sheet + 1, order / COLUMNS + 1, order % COLUMNS + 1, sheet + 2, sheet + 6);
    for (int i = 0; i < 3; i++)
        printf(",%.3f", lab[i] + shift[i] + sqrt(own_variance[i]) * normal(state));
    printf(",invented-range-%d.jpg,invented-range-%d,invented: no photo was taken", sheet + 1,
           sheet + 1);
    for (int i = 0; i < 3; i++)
        printf(",%g", shared_variance[i]);
    for (int i = 0; i < 3; i++)
        printf(",%g", own_variance[i]);
    putchar('\n');
}

/* As in ranges one can buy, some inks are nearly others: laid on a little thicker or thinner. */
static const struct {
    const char *name;
    const char *like;
    double density;
} variants[VARIANTS] = {
    {"Swede 75", "Radish 4", 1.25},          {"Lobelia 92", "Foxglove 58", 0.9},
    {"Strawberry 81", "Redcurrant 40", 0.8}, {"Geranium 87", "Tomato 21", 0.85},
    {"Paprika 95", "Chilli 35", 0.9},        {"Physalis 80", "Carrot 8", 0.9},
    {"Calendula 83", "Marigold 18", 0.75},   {"Buttercup 78", "Quince 24", 0.85},
    {"Cowslip 77", "Primrose 6", 1.25},      {"Bean 93", "Spinach 51", 0.9},
    {"Chard 79", "Cucumber 7", 1.15},        {"Artichoke 76", "Sage 33", 1.2},
    {"Bay 84", "Cabbage 22", 0.85},          {"Samphire 91", "Watercress 28", 1.1},
    {"Harebell 86", "Flax 25", 1.15},        {"Anchusa 82", "Delphinium 68", 1.2},
    {"Damson 89", "Plum 34", 0.9},           {"Grape 85", "Fig 65", 1.1},
    {"Hop 90", "Medlar 44", 1.15},           {"Teasel 88", "Juniper 1", 1.2},
};

/* One ink of the range: how the scene knows it, and what is done to it. */
struct sample {
    char name[INK_NAME_SIZE];
    int ink;
    double density;
};

static int ink_named(const char *name)
{
    char other[INK_NAME_SIZE];

    for (int i = 0; i < inks_full_count(); i++) {
        ink_name(i, other);
        if (strcmp(other, name) == 0)
            return i;
    }
    fprintf(stderr, "the scene has no ink '%s'\n", name);
    exit(1);
}

/* Every ink a variant is like, and as many of the others as make 64. */
static void choose_samples(struct sample samples[INKS])
{
    int skipped = inks_full_count() + VARIANTS - INKS;
    int count = 0;

    for (int i = 0; i < inks_full_count(); i++) {
        struct sample sample = {.ink = i, .density = 1};
        int variant = -1;

        ink_name(i, sample.name);
        for (int j = 0; j < VARIANTS; j++)
            variant = ink_named(variants[j].like) == i ? j : variant;
        if (variant < 0 && (i % 2 || i % 16 == 6) && skipped > 0) {
            skipped--;
            continue;
        }
        samples[count++] = sample;
        if (variant < 0)
            continue;
        snprintf(sample.name, sizeof sample.name, "%s", variants[variant].name);
        sample.density = variants[variant].density;
        samples[count++] = sample;
    }
    if (count != INKS || skipped) { /* the table above asks for other numbers */
        fputs("the inks do not come to 64\n", stderr);
        exit(1);
    }
}

static void write_sheet(int sheet, const struct sample *samples, const struct observer *observer,
                        uint64_t *state)
{
    struct spectrum paper = paper_reflectance(PAPER_WHITE);
    double shift[3], lab[3];
    char thin[INK_NAME_SIZE + 8];

    for (int i = 0; i < 3; i++)
        shift[i] = sqrt(shared_variance[i]) * normal(state);
    for (int i = 0; i < ON_A_SHEET + THINS / SHEETS; i++) {
        bool is_thin = i >= ON_A_SHEET;
        const struct sample *sample =
            &samples[sheet * ON_A_SHEET + (is_thin ? (i - ON_A_SHEET) * COLUMNS + 5 : i)];
        struct spectrum reflectance =
            ink_reflectance(sample->ink, &paper, sample->density * (is_thin ? 0.3 : 1.0));

        snprintf(thin, sizeof thin, "%s (thin)", sample->name);
        observer_lab(observer, &reflectance, lab);
        write_reading(is_thin ? thin : sample->name, lab, sheet, i, shift, state);
    }
}

int main(void)
{
    struct observer observer = observer_load();
    struct sample samples[INKS];
    uint64_t state = 64;

    choose_samples(samples);
    puts("ink,chart,row,column,paper,inked_at,taken,found,L,a,b,photo,photo_hash,method,"
         "shared_LL,shared_aa,shared_bb,own_LL,own_aa,own_bb");
    for (int sheet = 0; sheet < SHEETS; sheet++)
        write_sheet(sheet, samples, &observer, &state);
    return 0;
}
