#include "analysis/description.h"

#include "analysis/difference.h"
#include "description_tables.h"
#include "values/angle.h"

#include <math.h>
#include <stdio.h>

#define UNDERTONE_CHROMA_MIN 1.5 /* below, the hue angle says nothing a person sees */
#define KEPT_DEGREES 4           /* a turn smaller than that is not seen */
#define DEVIATIONS 1.96

static const char *const family_names[FAMILY_COUNT] = {
    [FAMILY_REDS] = "reds",     [FAMILY_ORANGES] = "oranges",  [FAMILY_YELLOWS] = "yellows",
    [FAMILY_GREENS] = "greens", [FAMILY_BLUES] = "blues",      [FAMILY_PURPLES] = "purples",
    [FAMILY_BROWNS] = "browns", [FAMILY_NEUTRALS] = "neutrals"};

const char *description_family_name(enum colour_family family)
{
    return family_names[family];
}

/* --- names ---------------------------------------------------------------------------------- */

static bool holds(const struct hue_block *block, double L, double chroma, double degrees)
{
    bool after = degrees >= block->hue_from, before = degrees < block->hue_to;
    bool hue = block->hue_from < block->hue_to ? after && before : after || before;

    return hue && L >= block->L_from && L < block->L_to && chroma >= block->chroma_from &&
           chroma < block->chroma_to;
}

static enum hue find_hue(struct lab lab)
{
    double chroma = colour_chroma(lab), degrees = colour_hue_degrees(lab);

    for (int i = 0; i < hue_block_count; i++)
        if (holds(&hue_blocks[i], lab.L, chroma, degrees))
            return hue_blocks[i].hue;
    return GREY;
}

static int count_passed(const double *bounds, int count, double value)
{
    int passed = 0;

    while (passed < count && value >= bounds[passed])
        passed++;
    return passed;
}

struct description description_of(struct lab lab)
{
    const struct hue_terms *terms = &hue_terms[find_hue(lab)];
    int lightness = count_passed(terms->L_bound, MODIFIER_LIGHTNESSES - 1, lab.L);
    int chroma = count_passed(terms->chroma_bound, MODIFIER_CHROMAS - 1, colour_chroma(lab));

    return (struct description){terms->grid ? terms->grid->words[chroma][lightness] : "",
                                terms->name, terms->family};
}

void description_words(struct lab lab, char words[DESCRIPTION_SIZE])
{
    struct description description = description_of(lab);

    snprintf(words, DESCRIPTION_SIZE, "%s%s%s", description.modifier,
             description.modifier[0] ? " " : "", description.hue);
}

/* --- undertone ------------------------------------------------------------------------------ */

/* Where each hue ends, for colours of middle lightness; source: as the tables of the names. */
static const struct {
    double to_degrees;
    const char *name;
} circle[] = {
    {12, "purplish red"},
    {33, "red"},
    {53, "reddish orange"},
    {66, "orange"},
    {80, "orange yellow"},
    {93.5, "yellow"},
    {106, "greenish yellow"},
    {130, "yellow green"},
    {151, "yellowish green"},
    {176, "green"},
    {206, "bluish green"},
    {236, "greenish blue"},
    {270, "blue"},
    {290, "purplish blue"},
    {312, "violet"},
    {327, "purple"},
    {349, "reddish purple"},
    {360, "purplish red"},
};

const char *description_undertone(struct lab lab)
{
    double degrees = colour_hue_degrees(lab);
    int i = 0;

    if (colour_chroma(lab) < UNDERTONE_CHROMA_MIN)
        return NULL;
    while (degrees >= circle[i].to_degrees && circle[i].to_degrees < 360)
        i++;
    return circle[i].name;
}

/* The variance of a hue angle, in degrees squared. */
static double hue_variance(struct lab lab, const double covariance[9])
{
    double chroma = colour_chroma(lab);
    double across_a = -lab.b / chroma, across_b = lab.a / chroma;
    double variance = across_a * across_a * covariance[4] +
                      2 * across_a * across_b * covariance[5] + across_b * across_b * covariance[8];

    return variance / (chroma * chroma) * ANGLE_DEGREES * ANGLE_DEGREES;
}

const char *description_as_it_thins(const struct range_ink *full, const struct range_ink *thin,
                                    double *degrees)
{
    double turn = remainder(colour_hue_degrees(thin->lab) - colour_hue_degrees(full->lab), 360);
    double middle_degrees = fmod(colour_hue_degrees(full->lab) + turn / 2 + 360, 360);
    double covariance[9];
    double deviation;

    range_difference_covariance(full, thin, covariance);
    deviation = sqrt(hue_variance(full->lab, covariance) + hue_variance(thin->lab, covariance));
    if (degrees)
        *degrees = turn;
    if (!description_undertone(full->lab) || !description_undertone(thin->lab))
        return "too grey to tell";
    if (fabs(turn) < KEPT_DEGREES)
        return "no other hue";
    if (fabs(turn) < DEVIATIONS * deviation)
        return "perhaps another hue, by less than can be told";
    return difference_turn_word(middle_degrees, turn > 0);
}
