#include "combine_pairs.h"

#include "harmony.h"
#include "base/memory.h"
#include "values/statistics.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define GREY_CHROMA 5.0 /* added to the chroma, so that greys are not asked for colour */

double combine_cleanness(struct lab first, struct lab second, double second_share, struct lab blend)
{
    double chroma =
        (1 - second_share) * colour_chroma(first) + second_share * colour_chroma(second);

    return fmin((colour_chroma(blend) + GREY_CHROMA) / (chroma + GREY_CHROMA), 1);
}

void combine_pairs_release(struct combine_pairs *pairs)
{
    free(pairs->inks);
    free(pairs->ready);
    free(pairs->pairs);
    memset(pairs, 0, sizeof *pairs);
}

/* --- which inks ----------------------------------------------------------------------------- */

/* Of a large range: always the ink farthest from those taken, the focus first. */
static enum status choose_inks(struct combine_pairs *pairs, struct error *error)
{
    const struct combine_task *task = pairs->task;
    double *gap = memory_array(task->count, sizeof *gap, "the inks to combine", error);
    size_t next = task->focus;

    if (!gap)
        return error->status;
    for (size_t i = 0; i < task->count; i++)
        gap[i] = HUGE_VAL;
    while (pairs->count < COMBINE_INKS_MAX && pairs->count < task->count) {
        size_t taken = next;

        pairs->inks[pairs->count++] = taken;
        gap[taken] = -1;
        for (size_t i = 0; i < task->count; i++) {
            if (gap[i] >= 0)
                gap[i] =
                    fmin(gap[i], colour_delta_e_2000(task->inks[taken].lab, task->inks[i].lab));
            if (gap[i] > gap[next] || gap[next] < 0)
                next = i;
        }
    }
    free(gap);
    return STATUS_OK;
}

static enum status prepare_inks(struct combine_pairs *pairs, struct error *error)
{
    enum status status = STATUS_OK;

    for (size_t i = 0; !status && i < pairs->count; i++)
        status = blend_ink_prepare(&pairs->observer, pairs->task->inks[pairs->inks[i]].lab, 0,
                                   &pairs->ready[i], error);
    return status;
}

/* --- pairs ---------------------------------------------------------------------------------- */

static struct blend_habit turned(struct blend_habit habit)
{
    habit.strength = 1 / habit.strength;
    return habit;
}

struct blend_habit combine_habit(const struct combine_task *task, size_t first, size_t second)
{
    struct blend_habit habit = task->untested;

    for (size_t i = 0; i < task->tested_count; i++) {
        const struct combine_tested *tested = &task->tested[i];

        if (tested->first == first && tested->second == second)
            habit = tested->habit;
        else if (tested->first == second && tested->second == first)
            habit = turned(tested->habit);
    }
    return habit;
}

struct combine_join combine_pairs_join(const struct combine_pairs *pairs, size_t a, size_t b)
{
    struct lab first = pairs->ready[a].lab, second = pairs->ready[b].lab;
    struct blend_habit habit = combine_habit(pairs->task, pairs->inks[a], pairs->inks[b]);
    static const double shares[] = {0.25, 0.5, 0.75};
    struct combine_join join = {.basis = habit.basis, .clean = 1, .clean_by_law = {1, 1}};

    for (int i = 0; i < 3; i++) {
        double share = shares[i];
        struct blend_forecast forecast =
            blend_forecast_at(&pairs->observer, &pairs->ready[a], &pairs->ready[b], share, &habit);

        if (i == 1)
            join.forecast = forecast;
        join.clean = fmin(join.clean, combine_cleanness(first, second, share, forecast.lab));
        for (int law = 0; law < BLEND_LAWS; law++)
            join.clean_by_law[law] =
                fmin(join.clean_by_law[law],
                     combine_cleanness(first, second, share, forecast.by_law[law]));
    }
    if (join.basis == BLEND_BY_LAWS)
        join.clean = fmin(join.clean_by_law[0], join.clean_by_law[1]);
    return join;
}

static void fill_pairs(struct combine_pairs *pairs)
{
    for (size_t a = 0; a < pairs->count; a++)
        for (size_t b = 0; b < a; b++) {
            struct lab first = pairs->ready[a].lab, second = pairs->ready[b].lab;
            struct combine_pair pair = {
                colour_delta_e_2000(first, second), harmony_of_pair(first, second),
                harmony_hue_similarity(first, second), combine_pairs_join(pairs, a, b).clean};

            pairs->pairs[a * pairs->count + b] = pairs->pairs[b * pairs->count + a] = pair;
        }
}

/* The pairs of the ink asked for have a floor of their own: what its own hue adds or takes away
 * says nothing of which inks go with it. */
static enum status find_floors(struct combine_pairs *pairs, struct error *error)
{
    size_t count = pairs->count - 1;
    double *harmony =
        memory_array(pairs->count * pairs->count, sizeof *harmony, "the pairs' harmony", error);

    if (!harmony)
        return error->status;
    for (size_t b = 1; b < pairs->count; b++)
        harmony[b - 1] = combine_pair_at(pairs, COMBINE_FOCUS, b)->harmony;
    pairs->floor_focus = count ? statistics_quantile(harmony, count, COMBINE_FLOOR) : 0;
    count = 0;
    for (size_t a = 1; a < pairs->count; a++)
        for (size_t b = 1; b < a; b++)
            harmony[count++] = combine_pair_at(pairs, a, b)->harmony;
    pairs->floor_others = count ? statistics_quantile(harmony, count, COMBINE_FLOOR) : 0;
    free(harmony);
    return STATUS_OK;
}

enum status combine_pairs_create(const struct combine_task *task, struct combine_pairs *pairs,
                                 struct error *error)
{
    size_t count = task->count < COMBINE_INKS_MAX ? task->count : COMBINE_INKS_MAX;
    enum status status;

    memset(pairs, 0, sizeof *pairs);
    pairs->task = task;
    pairs->observer = reflectance_observer_d50();
    pairs->inks = memory_array(count, sizeof *pairs->inks, "the inks to combine", error);
    pairs->ready = memory_array(count, sizeof *pairs->ready, "the inks to combine", error);
    pairs->pairs = memory_array(count * count, sizeof *pairs->pairs, "the inks' pairs", error);
    if (!pairs->inks || !pairs->ready || !pairs->pairs)
        status = error->status;
    else
        status = choose_inks(pairs, error);
    if (!status)
        status = prepare_inks(pairs, error);
    if (!status) {
        fill_pairs(pairs);
        status = find_floors(pairs, error);
    }
    if (status)
        combine_pairs_release(pairs);
    return status;
}
