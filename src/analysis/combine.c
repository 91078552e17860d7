#include "analysis/combine.h"

#include "base/memory.h"
#include "combine_pairs.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* The weights of the three figures a rank is made of: hue similarity explains the most of what
 * people prefer (Schloss and Palmer 2011), lightness contrast comes after it; the figures are ours.
 */
#define WEIGHT_HUE 0.4
#define WEIGHT_SPAN 0.3
#define WEIGHT_CLEAN 0.3
#define CLEAN_ENOUGH 0.75 /* cleaner is not seen: between orders, the shorter run decides then */
#define LENGTH_WEIGHT 0.005
#define SAME_INKS 0.5 /* combination_distance below which two are one */

void combine_release(struct combine_answer *answer)
{
    free(answer->proposals);
    memset(answer, 0, sizeof *answer);
}

/* One set of inks, as numbers of those looked at; the focus, 0, is among them. */
struct set {
    size_t inks[COMBINE_COLOURS_MOST];
    size_t count;
    double score;
    double hue_similarity; /* of those that share a hue */
    double least_similar;  /* of any two */
    double harmony;
    double span;
    double evenness; /* of the steps in lightness: 1 where all are alike */
};

/* One round of the search: the best set that is unlike those found before. */
struct round {
    const struct combine_pairs *pairs;
    const struct combine_task *task;
    struct combine_answer *answer; /* those found before, and why sets were refused */
    struct set best;
    bool found;
};

static struct lab lab_of(const struct combine_pairs *pairs, size_t ink)
{
    return pairs->ready[ink].lab;
}

/* --- hues ----------------------------------------------------------------------------------- */

/* The ink whose hue is least like the others'. */
static size_t odd_one(const struct combine_pairs *pairs, const struct set *set)
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
static size_t count_hues(const struct combine_pairs *pairs, const struct set *set)
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
static void measure_hues(const struct combine_pairs *pairs, enum combine_mood mood, struct set *set)
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

static bool keeps_mood(const struct combine_pairs *pairs, enum combine_mood mood, struct set *set)
{
    measure_hues(pairs, mood, set);
    if (mood == COMBINE_TONAL)
        return set->least_similar >= COMBINE_SAME_HUE;
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

/* Try every order of inks from `place` on, the darkest staying first. */
static void try_orders(const struct combine_pairs *pairs, size_t *inks, size_t place,
                       struct set *set, double *best)
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
    if (value <= *best)
        return;
    *best = value;
    memcpy(set->inks, inks, set->count * sizeof *inks);
}

/* Put the set in the order that blends cleanest; false if a join is muddy whatever the order. */
static bool blends_clean(const struct combine_pairs *pairs, struct set *set, double *mean)
{
    size_t inks[COMBINE_COLOURS_MOST], darkest = 0;
    double best = -HUGE_VAL, worst;

    memcpy(inks, set->inks, sizeof inks);
    for (size_t i = 1; i < set->count; i++)
        if (lab_of(pairs, inks[i]).L < lab_of(pairs, inks[darkest]).L)
            darkest = i;
    swap(&inks[0], &inks[darkest]);
    try_orders(pairs, inks, 1, set, &best);
    order_value(pairs, set->inks, set->count, &worst, mean);
    return worst >= COMBINE_CLEAN;
}

/* --- one set -------------------------------------------------------------------------------- */

static struct combination colours_of(const struct combine_pairs *pairs, const struct set *set)
{
    struct combination combination = {.count = set->count};

    for (size_t i = 0; i < set->count; i++)
        combination.colours[i] = lab_of(pairs, set->inks[i]);
    return combination;
}

static struct combination colours_of_proposal(const struct combine_task *task,
                                              const struct combine_proposal *proposal)
{
    struct combination combination = {.count = proposal->count};

    for (size_t i = 0; i < proposal->count; i++)
        combination.colours[i] = task->inks[proposal->inks[i]].lab;
    return combination;
}

static bool is_new(const struct round *round, const struct set *set)
{
    const struct combine_task *task = round->task;
    struct combination colours = colours_of(round->pairs, set);
    double apart = task->unlike_log ? COMBINE_UNLIKE : SAME_INKS;

    for (size_t i = 0; i < round->answer->count; i++) {
        struct combination other = colours_of_proposal(task, &round->answer->proposals[i]);

        if (combination_distance(&colours, &other) < COMBINE_UNLIKE)
            return false;
    }
    for (size_t i = 0; i < task->logged_count; i++)
        if (combination_distance(&colours, &task->logged[i]) < apart)
            return false;
    return true;
}

static int compare_numbers(const void *a, const void *b)
{
    const double *first = a, *second = b;

    return (*first > *second) - (*first < *second);
}

static void measure_lightness(const struct combine_pairs *pairs, struct set *set)
{
    double L[COMBINE_COLOURS_MOST], least = HUGE_VAL;

    for (size_t i = 0; i < set->count; i++)
        L[i] = lab_of(pairs, set->inks[i]).L;
    qsort(L, set->count, sizeof *L, compare_numbers);
    for (size_t i = 0; i + 1 < set->count; i++)
        least = fmin(least, L[i + 1] - L[i]);
    set->span = L[set->count - 1] - L[0];
    set->evenness = set->span > 0 ? least * (double)(set->count - 1) / set->span : 0;
}

static double least_harmony(const struct combine_pairs *pairs, const struct set *set)
{
    double least = HUGE_VAL;

    for (size_t i = 0; i < set->count; i++)
        for (size_t j = 0; j < i; j++)
            least = fmin(least, combine_pair_at(pairs, set->inks[i], set->inks[j])->harmony);
    return least;
}

static double score_of(enum combine_mood mood, const struct set *set, double clean)
{
    double hue = mood == COMBINE_TONAL ? set->hue_similarity
                                       : (set->hue_similarity + 1 - set->least_similar) / 2;
    double span = fmin(set->span / COMBINE_SPAN, 1) * (1 + set->evenness) / 2;

    return WEIGHT_HUE * hue + WEIGHT_SPAN * span + WEIGHT_CLEAN * clean;
}

static void look_at(struct round *round, struct set *set)
{
    struct combine_refusals *refusals = &round->answer->refusals;
    double clean;

    set->harmony = least_harmony(round->pairs, set);
    if (set->harmony < round->pairs->floor) {
        refusals->harsh++;
        return;
    }
    if (!keeps_mood(round->pairs, round->task->mood, set)) {
        refusals->mood++;
        return;
    }
    if (!blends_clean(round->pairs, set, &clean)) {
        refusals->muddy++;
        return;
    }
    measure_lightness(round->pairs, set);
    set->score = score_of(round->task->mood, set, clean);
    if (round->found && set->score <= round->best.score)
        return;
    if (!is_new(round, set)) {
        refusals->like_others++;
        return;
    }
    round->best = *set;
    round->found = true;
}

/* --- all sets ------------------------------------------------------------------------------- */

static bool is_identical(const struct combine_pairs *pairs, const struct set *set, size_t ink)
{
    for (size_t i = 0; i < set->count; i++)
        if (combine_pair_at(pairs, set->inks[i], ink)->delta_e < COMBINE_IDENTICAL)
            return true;
    return false;
}

/* Extend the set by inks from `from` on until it is complete, and look at it then. */
static void extend(struct round *round, const struct set *begun, size_t from)
{
    for (size_t ink = from; ink < round->pairs->count; ink++) {
        struct set set = *begun;

        if (is_identical(round->pairs, begun, ink)) {
            round->answer->refusals.identical++;
            continue;
        }
        set.inks[set.count++] = ink;
        if (set.count < round->task->colours) {
            extend(round, &set, ink + 1);
            continue;
        }
        round->answer->refusals.looked_at++;
        look_at(round, &set);
    }
}

/* --- the answer ----------------------------------------------------------------------------- */

static void note_nearest(const struct combine_task *task, const struct combine_answer *answer,
                         struct combine_proposal *proposal)
{
    struct combination colours = colours_of_proposal(task, proposal);

    proposal->nearest_logged = proposal->nearest_other = HUGE_VAL;
    for (size_t i = 0; i < task->logged_count; i++) {
        double distance = combination_distance(&colours, &task->logged[i]);

        if (distance < proposal->nearest_logged) {
            proposal->nearest_logged = distance;
            proposal->logged = i;
        }
    }
    for (size_t i = 0; i < answer->count; i++) {
        struct combination other = colours_of_proposal(task, &answer->proposals[i]);

        proposal->nearest_other =
            fmin(proposal->nearest_other, combination_distance(&colours, &other));
    }
}

static void add_proposal(const struct round *round, struct combine_answer *answer)
{
    const struct set *set = &round->best;
    struct combine_proposal *proposal = &answer->proposals[answer->count];

    proposal->count = set->count;
    proposal->score = set->score;
    proposal->hue_similarity = set->hue_similarity;
    proposal->harmony = set->harmony;
    proposal->span = set->span;
    for (size_t i = 0; i < set->count; i++)
        proposal->inks[i] = round->pairs->inks[set->inks[i]];
    for (size_t i = 0; i + 1 < set->count; i++)
        proposal->joins[i] = combine_pairs_join(round->pairs, set->inks[i], set->inks[i + 1]);
    note_nearest(round->task, answer, proposal);
    answer->count++;
}

static bool find_next(const struct combine_pairs *pairs, struct combine_answer *answer)
{
    struct round round = {.pairs = pairs, .task = pairs->task, .answer = answer};
    const struct set begun = {.inks = {0}, .count = 1};

    memset(&answer->refusals, 0, sizeof answer->refusals);
    extend(&round, &begun, 1);
    if (round.found)
        add_proposal(&round, answer);
    return round.found;
}

enum status combine_propose(const struct combine_task *task, struct combine_answer *answer,
                            struct error *error)
{
    struct combine_pairs pairs = {0};
    enum status status = combine_pairs_create(task, &pairs, error);

    memset(answer, 0, sizeof *answer);
    if (!status) {
        answer->proposals =
            memory_array(task->wanted + 1, sizeof *answer->proposals, "the proposals", error);
        status = answer->proposals ? STATUS_OK : error->status;
        answer->left_out = task->count - pairs.count;
    }
    while (!status && answer->count < task->wanted && find_next(&pairs, answer))
        ;
    combine_pairs_release(&pairs);
    return status;
}
