#include "combine_set.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define CLEAN_ENOUGH 0.75 /* cleaner is not seen: between orders, the shorter run decides then */
#define LENGTH_WEIGHT 0.005

struct lab combine_set_lab(const struct combine_pairs *pairs, size_t ink)
{
    return pairs->ready[ink].lab;
}

/* --- hues ----------------------------------------------------------------------------------- */

/* The ink whose hue is least like the others'. */
static size_t odd_one(const struct combine_pairs *pairs, const struct combine_set *set)
{
    size_t odd = 0;
    double least = HUGE_VAL;

    for (size_t i = 0; i < set->count; i++) {
        double sum = 0;

        for (size_t j = 0; j < set->count; j++)
            sum += i == j ? 0 : combine_pair_at(pairs, set->inks[i], set->inks[j])->similarity;
        if (sum < least) {
            least = sum;
            odd = i;
        }
    }
    return odd;
}

/* Count groups of inks whose hues are one, linked through any of the group. */
static size_t count_hues(const struct combine_pairs *pairs, const struct combine_set *set)
{
    size_t group[COMBINE_COLOURS_MOST], hues = 0;

    for (size_t i = 0; i < set->count; i++)
        group[i] = i;
    for (size_t i = 0; i < set->count; i++)
        for (size_t j = 0; j < i; j++) {
            size_t from = group[i], to = group[j];

            if (combine_pair_at(pairs, set->inks[i], set->inks[j])->similarity < COMBINE_SAME_HUE)
                continue;
            for (size_t k = 0; k < set->count; k++)
                group[k] = group[k] == from ? to : group[k];
        }
    for (size_t i = 0; i < set->count; i++)
        hues += group[i] == i;
    return hues;
}

/* The mean similarity of those that share a hue: all, or all but the one that stands against them.
 */
static void measure_hues(const struct combine_pairs *pairs, enum combine_mood mood,
                         struct combine_set *set)
{
    size_t odd = mood == COMBINE_CONTRAST ? odd_one(pairs, set) : set->count, count = 0;
    double sum = 0;

    set->least_similar = 1;
    for (size_t i = 0; i < set->count; i++)
        for (size_t j = 0; j < i; j++) {
            double similarity = combine_pair_at(pairs, set->inks[i], set->inks[j])->similarity;

            set->least_similar = fmin(set->least_similar, similarity);
            if (i == odd || j == odd)
                continue;
            sum += similarity;
            count++;
        }
    set->hue_similarity = count ? sum / (double)count : 1;
}

static bool is_grey(const struct combine_pairs *pairs, size_t ink)
{
    return colour_chroma(combine_set_lab(pairs, ink)) < COMBINE_GREY_CHROMA;
}

static bool too_grey(const struct combine_pairs *pairs, enum combine_mood mood,
                     const struct combine_set *set)
{
    size_t greys = 0;

    if (mood == COMBINE_TONAL && is_grey(pairs, COMBINE_FOCUS))
        return false;
    for (size_t i = 0; i < set->count; i++)
        greys += set->inks[i] != COMBINE_FOCUS && is_grey(pairs, set->inks[i]);
    return greys > 1;
}

bool combine_set_keeps_mood(const struct combine_pairs *pairs, enum combine_mood mood,
                            struct combine_set *set)
{
    measure_hues(pairs, mood, set);
    if (too_grey(pairs, mood, set))
        return false;
    if (mood == COMBINE_TONAL)
        return set->least_similar >= pairs->tone_hue;
    return set->least_similar <= COMBINE_OTHER_HUE && count_hues(pairs, set) <= COMBINE_HUES_MOST;
}

/* --- the order to blend in ------------------------------------------------------------------ */

static double order_value(const struct combine_pairs *pairs, const size_t *inks, size_t count,
                          double *worst, double *mean)
{
    double length = 0, sum = 0;

    *worst = 1;
    for (size_t i = 0; i + 1 < count; i++) {
        const struct combine_pair *pair = combine_pair_at(pairs, inks[i], inks[i + 1]);

        *worst = fmin(*worst, pair->clean);
        sum += pair->clean;
        length += pair->delta_e;
    }
    *mean = sum / (double)(count - 1);
    return fmin(*worst, CLEAN_ENOUGH) - LENGTH_WEIGHT * length;
}

static void swap(size_t *a, size_t *b)
{
    size_t kept = *a;

    *a = *b;
    *b = kept;
}

static bool grey_parts_colours(const struct combine_pairs *pairs, const size_t *inks, size_t count)
{
    for (size_t i = 1; i + 1 < count; i++)
        if (inks[i] != COMBINE_FOCUS && is_grey(pairs, inks[i]) && !is_grey(pairs, inks[i - 1]) &&
            !is_grey(pairs, inks[i + 1]))
            return true;
    return false;
}

/* Try every order of inks from `place` on, the darkest staying first. */
static void try_orders(const struct combine_pairs *pairs, size_t *inks, size_t place,
                       struct combine_set *set, double *best)
{
    double worst, mean, value;

    if (place + 1 < set->count) {
        for (size_t i = place; i < set->count; i++) {
            swap(&inks[place], &inks[i]);
            try_orders(pairs, inks, place + 1, set, best);
            swap(&inks[place], &inks[i]);
        }
        return;
    }
    value = order_value(pairs, inks, set->count, &worst, &mean);
    if (value <= *best || grey_parts_colours(pairs, inks, set->count))
        return;
    *best = value;
    memcpy(set->inks, inks, set->count * sizeof *inks);
}

/* Put the set in the order that blends cleanest; false if a join is muddy whatever the order. */
bool combine_set_blends_clean(const struct combine_pairs *pairs, struct combine_set *set,
                              double *mean)
{
    size_t inks[COMBINE_COLOURS_MOST], darkest = 0;
    double best = -HUGE_VAL, worst;

    memcpy(inks, set->inks, sizeof inks);
    for (size_t i = 1; i < set->count; i++)
        if (combine_set_lab(pairs, inks[i]).L < combine_set_lab(pairs, inks[darkest]).L)
            darkest = i;
    swap(&inks[0], &inks[darkest]);
    try_orders(pairs, inks, 1, set, &best);
    order_value(pairs, set->inks, set->count, &worst, mean);
    return isfinite(best) && worst >= COMBINE_CLEAN;
}

/* --- lightness and harmony --- */

static int compare_numbers(const void *a, const void *b)
{
    const double *first = a, *second = b;

    return (*first > *second) - (*first < *second);
}

void combine_set_measure_lightness(const struct combine_pairs *pairs, struct combine_set *set)
{
    double L[COMBINE_COLOURS_MOST], least = HUGE_VAL;

    for (size_t i = 0; i < set->count; i++)
        L[i] = combine_set_lab(pairs, set->inks[i]).L;
    qsort(L, set->count, sizeof *L, compare_numbers);
    for (size_t i = 0; i + 1 < set->count; i++)
        least = fmin(least, L[i + 1] - L[i]);
    set->span = L[set->count - 1] - L[0];
    set->evenness = set->span > 0 ? least * (double)(set->count - 1) / set->span : 0;
}

bool combine_set_is_harsh(const struct combine_pairs *pairs, struct combine_set *set)
{
    bool harsh = false;

    set->harmony = HUGE_VAL;
    for (size_t i = 0; i < set->count; i++)
        for (size_t j = 0; j < i; j++) {
            double harmony = combine_pair_at(pairs, set->inks[i], set->inks[j])->harmony;
            bool focus = set->inks[i] == COMBINE_FOCUS || set->inks[j] == COMBINE_FOCUS;

            set->harmony = fmin(set->harmony, harmony);
            harsh = harsh || harmony < (focus ? pairs->floor_focus : pairs->floor_others);
        }
    return harsh;
}
