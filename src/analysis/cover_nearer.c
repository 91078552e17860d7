#include "covering.h"

#include "base/memory.h"

#include <math.h>
#include <stdlib.h>

#define NEARER 1e-9 /* a gain in delta E that is none */

/* The two chosen inks nearest to an ink. */
struct nearest {
    size_t first;
    double gap, second_gap;
};

static void find_nearest(const struct covering *covering, const bool *chosen,
                         struct nearest *nearest)
{
    for (size_t i = 0; i < covering->task->count; i++) {
        struct nearest found = {COVER_NOBODY, HUGE_VAL, HUGE_VAL};

        for (size_t j = 0; j < covering->task->count; j++) {
            double gap = covering_distance(covering, i, j);

            if (!chosen[j])
                continue;
            if (gap < found.gap)
                found = (struct nearest){j, gap, found.gap};
            else
                found.second_gap = fmin(found.second_gap, gap);
        }
        nearest[i] = found;
    }
}

/* By how much the gaps shrink in all if `in` is chosen instead of `out`; below 0 too if an ink
 * would lose its stand-in. */
static double gain_of(const struct covering *covering, const struct nearest *nearest, double within,
                      size_t out, size_t in)
{
    double gain = 0;

    for (size_t i = 0; i < covering->task->count; i++) {
        double kept = nearest[i].first == out ? nearest[i].second_gap : nearest[i].gap;
        double gap = fmin(kept, covering_distance(covering, i, in));

        if (nearest[i].gap <= within && gap > within)
            return -1;
        gain += nearest[i].gap - gap;
    }
    return gain;
}

static bool may_go(const struct covering *covering, const bool *chosen, size_t ink)
{
    return chosen[ink] && covering->task->roles[ink] == COVER_FREE;
}

static bool may_come(const struct covering *covering, const bool *chosen, size_t ink,
                     double cost_most)
{
    return !chosen[ink] && covering_is_for_sale(covering, ink) &&
           covering_cost(covering, ink) <= cost_most;
}

/* Where families are told, the choice was spread over them, and stays so. */
static bool same_family(const struct covering *covering, size_t a, size_t b)
{
    const size_t *family = covering->task->family;

    return !family || family[a] == family[b];
}

/* Swap `out` for the ink that shrinks the gaps most; false if none does. */
static bool swap_for_best(const struct covering *covering, const struct nearest *nearest,
                          double within, size_t out, bool *chosen)
{
    double cost_most = covering_cost(covering, out), best_gain = NEARER;
    size_t best = COVER_NOBODY;

    for (size_t in = 0; in < covering->task->count; in++) {
        double gain;

        if (!may_come(covering, chosen, in, cost_most) || !same_family(covering, in, out))
            continue;
        gain = gain_of(covering, nearest, within, out, in);
        if (gain > best_gain) {
            best_gain = gain;
            best = in;
        }
    }
    if (best == COVER_NOBODY)
        return false;
    chosen[out] = false;
    chosen[best] = true;
    return true;
}

enum status covering_bring_nearer(const struct covering *covering, double within, bool *chosen,
                                  struct error *error)
{
    size_t count = covering->task->count;
    struct nearest *nearest = memory_array(count, sizeof *nearest, "a choice of inks", error);

    if (!nearest)
        return error->status;
    find_nearest(covering, chosen, nearest);
    for (size_t unmoved = 0, out = 0; unmoved < count; out = (out + 1) % count, unmoved++)
        if (may_go(covering, chosen, out) &&
            swap_for_best(covering, nearest, within, out, chosen)) {
            find_nearest(covering, chosen, nearest);
            unmoved = 0;
        }
    free(nearest);
    return STATUS_OK;
}
