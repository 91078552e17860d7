#include "analysis/combine.h"

#include "base/memory.h"
#include "combine_set.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* The weights of the three figures a rank is made of: hue similarity explains the most of what
 * people prefer (Schloss and Palmer 2011), lightness contrast comes after it; the figures are ours.
 */
#define WEIGHT_HUE 0.4
#define WEIGHT_SPAN 0.3
#define WEIGHT_CLEAN 0.3
#define SAME_INKS 0.5 /* combination_distance below which two are one */

void combine_release(struct combine_answer *answer)
{
    free(answer->proposals);
    memset(answer, 0, sizeof *answer);
}

/* One round of the search: the best set that is unlike those found before. */
struct round {
    const struct combine_pairs *pairs;
    const struct combine_task *task;
    struct combine_answer *answer; /* those found before, and why sets were refused */
    bool *worn;                    /* inks that come in enough of those found before */
    struct combine_set best;
    bool found;
};

/* --- one set -------------------------------------------------------------------------------- */

static struct combination colours_of(const struct combine_pairs *pairs,
                                     const struct combine_set *set)
{
    struct combination combination = {.count = set->count};

    for (size_t i = 0; i < set->count; i++)
        combination.colours[i] = combine_set_lab(pairs, set->inks[i]);
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

/* How many proposals have the ink, or one nearly the same. */
static size_t count_uses(const struct round *round, size_t ink)
{
    const struct range_ink *inks = round->task->inks;
    struct lab lab = combine_set_lab(round->pairs, ink);
    size_t uses = 0;

    for (size_t i = 0; i < round->answer->count; i++) {
        const struct combine_proposal *proposal = &round->answer->proposals[i];
        bool used = false;

        for (size_t k = 0; k < proposal->count; k++)
            used =
                used || colour_delta_e_2000(lab, inks[proposal->inks[k]].lab) < COMBINE_IDENTICAL;
        uses += used;
    }
    return uses;
}

static bool is_logged(const struct round *round, const struct combination *colours)
{
    const struct combine_task *task = round->task;
    double apart = task->unlike_log ? COMBINE_UNLIKE : SAME_INKS;

    for (size_t i = 0; i < task->logged_count; i++)
        if (combination_distance(colours, &task->logged[i]) < apart) {
            if (!round->answer->like_logged++)
                round->answer->first_logged = i;
            return true;
        }
    return false;
}

static bool is_new(const struct round *round, const struct combine_set *set)
{
    const struct combine_task *task = round->task;
    struct combination colours = colours_of(round->pairs, set);

    for (size_t i = 0; i < round->answer->count; i++) {
        struct combination other = colours_of_proposal(task, &round->answer->proposals[i]);

        if (combination_distance(&colours, &other) < COMBINE_UNLIKE)
            return false;
    }
    return !is_logged(round, &colours);
}

/* Whether an ink besides the one asked for comes in enough proposals already. */
static bool is_worn(const struct round *round, const struct combine_set *set)
{
    for (size_t i = 0; i < set->count; i++)
        if (set->inks[i] != COMBINE_FOCUS && round->worn[set->inks[i]])
            return true;
    return false;
}

static double score_of(enum combine_mood mood, const struct combine_set *set, double clean)
{
    double hue = mood == COMBINE_TONAL ? set->hue_similarity
                                       : (set->hue_similarity + 1 - set->least_similar) / 2;
    double span = fmin(set->span / COMBINE_SPAN, 1) * (1 + set->evenness) / 2;

    return WEIGHT_HUE * hue + WEIGHT_SPAN * span + WEIGHT_CLEAN * clean;
}

static void look_at(struct round *round, struct combine_set *set)
{
    struct combine_refusals *refusals = &round->answer->refusals;
    double clean;

    if (combine_set_is_harsh(round->pairs, set) && round->task->mood != COMBINE_TONAL) {
        refusals->harsh++;
        return;
    }
    if (!combine_set_keeps_mood(round->pairs, round->task->mood, set)) {
        refusals->mood++;
        return;
    }
    combine_set_measure_lightness(round->pairs, set);
    /* the cheap first: however clean it blends, it must pass the best one */
    if (round->found && score_of(round->task->mood, set, 1) <= round->best.score)
        return;
    if (is_worn(round, set)) {
        refusals->like_others++;
        return;
    }
    if (!combine_set_blends_clean(round->pairs, set, &clean)) {
        refusals->muddy++;
        return;
    }
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

static bool is_identical(const struct combine_pairs *pairs, const struct combine_set *set,
                         size_t ink)
{
    for (size_t i = 0; i < set->count; i++)
        if (combine_pair_at(pairs, set->inks[i], ink)->delta_e < pairs->identical)
            return true;
    return false;
}

/* Whether an ink's hue leaves a tonal set's: what is begun so need not be finished. */
static bool breaks_tone(const struct round *round, const struct combine_set *set, size_t ink)
{
    for (size_t i = 0; round->task->mood == COMBINE_TONAL && i < set->count; i++)
        if (combine_pair_at(round->pairs, set->inks[i], ink)->similarity < round->pairs->tone_hue)
            return true;
    return false;
}

/* Extend the set by inks from `from` on until it is complete, and look at it then. */
static void extend(struct round *round, const struct combine_set *begun, size_t from)
{
    for (size_t ink = from; ink < round->pairs->count; ink++) {
        struct combine_set set = *begun;

        if (is_identical(round->pairs, begun, ink)) {
            round->answer->refusals.identical++;
            continue;
        }
        if (breaks_tone(round, begun, ink)) {
            round->answer->refusals.mood++;
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

static void share_out(const struct combine_task *task, struct combine_proposal *proposal)
{
    size_t half = proposal->count - 1;

    for (size_t i = 0; i < proposal->count; i++) {
        proposal->shares[i] = i ? COMBINE_QUARTER : COMBINE_EDGE;
        half = i && proposal->inks[i] == task->focus ? i : half;
    }
    proposal->shares[half] = COMBINE_HALF;
}

static void add_proposal(const struct round *round, struct combine_answer *answer)
{
    const struct combine_set *set = &round->best;
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
    share_out(round->task, proposal);
    note_nearest(round->task, answer, proposal);
    answer->count++;
}

static bool find_next(const struct combine_pairs *pairs, bool *worn, struct combine_answer *answer)
{
    struct round round = {.pairs = pairs, .task = pairs->task, .answer = answer, .worn = worn};
    const struct combine_set begun = {.inks = {COMBINE_FOCUS}, .count = 1};
    double uses = fmax(COMBINE_USES_LEAST, COMBINE_USES * (double)pairs->task->wanted);

    memset(&answer->refusals, 0, sizeof answer->refusals);
    answer->like_logged = 0;
    for (size_t ink = 0; ink < pairs->count; ink++)
        worn[ink] = (double)count_uses(&round, ink) >= uses;
    extend(&round, &begun, 1);
    if (round.found)
        add_proposal(&round, answer);
    return round.found;
}

/* Strictly first; then, where that gives too few, eased step by step. */
enum { EASES = 3 };
static const struct {
    double identical, tone_hue;
} eases[EASES] = {{COMBINE_IDENTICAL, COMBINE_TONE_HUE},
                  {COMBINE_IDENTICAL_EASED, COMBINE_TONE_HUE},
                  {COMBINE_IDENTICAL_EASED, COMBINE_TONE_HUE_EASED}};

enum status combine_propose(const struct combine_task *task, struct combine_answer *answer,
                            struct error *error)
{
    struct combine_pairs pairs = {0};
    bool *worn = NULL;
    enum status status = combine_pairs_create(task, &pairs, error);

    memset(answer, 0, sizeof *answer);
    if (!status) {
        answer->proposals =
            memory_array(task->wanted + 1, sizeof *answer->proposals, "the proposals", error);
        worn = memory_array(pairs.count, sizeof *worn, "the proposals", error);
        status = answer->proposals && worn ? STATUS_OK : error->status;
        answer->left_out = task->count - pairs.count;
    }
    for (size_t ease = 0; !status && ease < EASES; ease++) {
        pairs.identical = eases[ease].identical;
        pairs.tone_hue = eases[ease].tone_hue;
        while (answer->count < task->wanted && find_next(&pairs, worn, answer))
            answer->strict += ease == 0;
    }
    free(worn);
    combine_pairs_release(&pairs);
    return status;
}
