#include "covering.h"

#include "analysis/near.h"
#include "base/memory.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define SURE_DEVIATIONS 6 /* farther than that from the tolerance no interval reaches it */

/* --- the table ------------------------------------------------------------------------------ */

static double deviation_of(const struct range_ink *ink)
{
    double metric[9];
    double variance = 0;

    colour_metric(ink->lab, metric);
    for (int i = 0; i < 9; i++) /* the trace of the product, as both are symmetric */
        variance += metric[i] * (ink->covariance_own[i] + ink->covariance_shared[i]);
    return sqrt(fmax(variance, 0));
}

static void fill_table(struct covering *covering)
{
    const struct cover_task *task = covering->task;

    for (size_t i = 0; i < task->count; i++) {
        covering->deviation[i] = deviation_of(&task->inks[i]);
        for (size_t j = i + 1; j < task->count; j++)
            covering->distance[i * task->count + j] = covering->distance[j * task->count + i] =
                colour_delta_e_2000(task->inks[i].lab, task->inks[j].lab);
    }
}

enum status covering_create(const struct cover_task *task, struct covering *covering,
                            struct error *error)
{
    *covering = (struct covering){.task = task};
    if (task->count > COVER_INKS_MAX)
        return error_set(error, STATUS_USAGE,
                         "%zu inks are too many to choose among, at most %d are taken at a time; "
                         "part the range, or leave inks out",
                         task->count, COVER_INKS_MAX);
    covering->distance = memory_array(task->count * task->count, sizeof *covering->distance,
                                      "the table of pairs", error);
    covering->deviation =
        memory_array(task->count, sizeof *covering->deviation, "the table of pairs", error);
    if (!covering->distance || !covering->deviation) {
        covering_release(covering);
        return error->status;
    }
    fill_table(covering);
    return STATUS_OK;
}

void covering_release(struct covering *covering)
{
    free(covering->distance);
    free(covering->deviation);
    memset(covering, 0, sizeof *covering);
}

double covering_distance(const struct covering *covering, size_t a, size_t b)
{
    return covering->distance[a * covering->task->count + b];
}

bool covering_serves(const struct covering *covering, size_t a, size_t b, double within,
                     enum covering_reading reading)
{
    const struct range_ink *inks = covering->task->inks;
    double distance = covering_distance(covering, a, b);
    double doubt = SURE_DEVIATIONS * (covering->deviation[a] + covering->deviation[b]);

    if (a == b || reading == AS_MEASURED || fabs(distance - within) > doubt)
        return distance <= within;
    if (reading == IF_CLOSE)
        return distance <= within || near_interval(&inks[a], &inks[b]).low <= within;
    return distance <= within && near_interval(&inks[a], &inks[b]).high <= within;
}

bool covering_is_for_sale(const struct covering *covering, size_t ink)
{
    const struct cover_task *task = covering->task;

    return task->roles[ink] == COVER_MUST ||
           (task->roles[ink] == COVER_FREE && (!task->price || isfinite(task->price[ink])));
}

double covering_cost(const struct covering *covering, size_t ink)
{
    const struct cover_task *task = covering->task;

    if (task->roles[ink] == COVER_OWNED)
        return 0;
    return task->price ? task->price[ink] : 1;
}

/* --- stand-ins ------------------------------------------------------------------------------ */

static size_t nearest_chosen(const struct covering *covering, const bool *chosen, size_t ink)
{
    size_t best = COVER_NOBODY;

    if (chosen[ink])
        return ink;
    for (size_t j = 0; j < covering->task->count; j++)
        if (chosen[j] && (best == COVER_NOBODY || covering_distance(covering, ink, j) <
                                                      covering_distance(covering, ink, best)))
            best = j;
    return best;
}

static void place_ink(const struct covering *covering, const bool *chosen, size_t ink,
                      struct cover *cover)
{
    struct cover_ink *placed = &cover->inks[ink];

    placed->chosen = chosen[ink];
    placed->stand_in = nearest_chosen(covering, chosen, ink);
    if (placed->stand_in != COVER_NOBODY && placed->stand_in != ink)
        placed->gap =
            near_interval(&covering->task->inks[ink], &covering->task->inks[placed->stand_in]);
    placed->served = placed->stand_in != COVER_NOBODY && placed->gap.measured <= cover->within;
    if (placed->served)
        cover->inks[placed->stand_in].serves++;
    else
        cover->unserved++;
    cover->open += placed->stand_in != COVER_NOBODY && placed->stand_in != ink &&
                   placed->gap.low <= cover->within && placed->gap.high > cover->within;
}

static void count_chosen(const struct covering *covering, struct cover *cover)
{
    for (size_t i = 0; i < cover->count; i++) {
        bool owned = covering->task->roles[i] == COVER_OWNED;

        cover->owned += owned;
        cover->bought += cover->inks[i].chosen && !owned;
        cover->cost += cover->inks[i].chosen ? covering_cost(covering, i) : 0;
    }
}

/* --- the order to buy in -------------------------------------------------------------------- */

/* What buying an ink next would bring. */
struct gain {
    double served; /* inks that get a stand-in, for the price */
    double nearer; /* by how much all inks' gaps shrink, for the price */
};

static struct gain gain_of(const struct covering *covering, const double *gap, double within,
                           size_t ink)
{
    double price = fmax(covering_cost(covering, ink), 1e-6);
    struct gain gain = {0, 0};

    for (size_t i = 0; i < covering->task->count; i++) {
        double distance = covering_distance(covering, i, ink);

        gain.served += distance <= within && gap[i] > within;
        if (distance < gap[i])
            gain.nearer += fmin(gap[i], 100) - distance;
    }
    return (struct gain){gain.served / price, gain.nearer / price};
}

static size_t most_useful(const struct covering *covering, const double *gap,
                          const struct cover *cover)
{
    struct gain best_gain = {-1, 0};
    size_t best = COVER_NOBODY;

    for (size_t i = 0; i < cover->count; i++) {
        struct gain gain;

        if (!cover->inks[i].chosen || cover->inks[i].step ||
            covering->task->roles[i] == COVER_OWNED)
            continue;
        gain = gain_of(covering, gap, cover->within, i);
        if (gain.served > best_gain.served ||
            (gain.served >= best_gain.served && gain.nearer > best_gain.nearer)) {
            best_gain = gain;
            best = i;
        }
    }
    return best;
}

static void own(const struct covering *covering, double *gap, size_t ink)
{
    for (size_t i = 0; i < covering->task->count; i++)
        gap[i] = fmin(gap[i], covering_distance(covering, i, ink));
}

static void note_reach(const double *gap, const struct cover *cover, struct cover_ink *bought)
{
    for (size_t i = 0; i < cover->count; i++) {
        bought->served_then += gap[i] <= cover->within;
        bought->worst_then = fmax(bought->worst_then, gap[i]);
    }
}

static enum status put_in_order(const struct covering *covering, struct cover *cover,
                                struct error *error)
{
    double *gap = memory_array(cover->count, sizeof *gap, "the order to buy in", error);

    if (!gap)
        return error->status;
    for (size_t i = 0; i < cover->count; i++)
        gap[i] = HUGE_VAL;
    for (size_t i = 0; i < cover->count; i++)
        if (covering->task->roles[i] == COVER_OWNED)
            own(covering, gap, i);
    for (size_t step = 1; step <= cover->bought; step++) {
        size_t next = most_useful(covering, gap, cover);

        cover->inks[next].step = step;
        own(covering, gap, next);
        note_reach(gap, cover, &cover->inks[next]);
    }
    free(gap);
    return STATUS_OK;
}

enum status covering_answer(const struct covering *covering, const bool *chosen, double within,
                            struct cover *cover, struct error *error)
{
    cover->count = covering->task->count;
    cover->within = within;
    cover->inks = memory_array(cover->count, sizeof *cover->inks, "the stand-ins", error);
    if (!cover->inks)
        return error->status;
    for (size_t i = 0; i < cover->count; i++)
        place_ink(covering, chosen, i, cover);
    count_chosen(covering, cover);
    return put_in_order(covering, cover, error);
}
