#include "analysis/path.h"
#include "base/memory.h"

#include <math.h>
#include <stdbool.h>
#include <stdlib.h>

#define ROUNDS 400
#define STEP_START 1.0
#define STEP_SHRINK 0.995
#define PATIENCE 6 /* rounds without gain before the step shrinks */

/*
 * A path is a spanning tree in which no point has more than two neighbours.
 * Add a point at no distance from any other and join it to both ends: then all
 * have two. Under penalties p the least tree over the points, with the two
 * cheapest joins of the added one, costs no more than any path so priced, and
 * a path's price is its length plus twice the sum of the penalties.
 */
struct bounding {
    const double *distance;
    size_t count;
    double *penalty;
    double *nearest; /* the price of the cheapest join to the tree */
    size_t *join;    /* where that leads */
    int *degree;
    bool *within;
};

static double price(const struct bounding *bounding, size_t a, size_t b)
{
    return bounding->distance[a * bounding->count + b] + bounding->penalty[a] +
           bounding->penalty[b];
}

static void take_in(struct bounding *bounding, size_t point)
{
    bounding->within[point] = true;
    for (size_t i = 0; i < bounding->count; i++)
        if (!bounding->within[i] && price(bounding, point, i) < bounding->nearest[i]) {
            bounding->nearest[i] = price(bounding, point, i);
            bounding->join[i] = point;
        }
}

/* The least spanning tree by Prim's method; fills the degrees. */
static double least_tree(struct bounding *bounding)
{
    double total = 0;

    for (size_t i = 0; i < bounding->count; i++) {
        bounding->within[i] = false;
        bounding->degree[i] = 0;
        bounding->nearest[i] = HUGE_VAL;
    }
    take_in(bounding, 0);
    for (size_t taken = 1; taken < bounding->count; taken++) {
        size_t next = bounding->count;

        for (size_t i = 0; i < bounding->count; i++)
            if (!bounding->within[i] &&
                (next == bounding->count || bounding->nearest[i] < bounding->nearest[next]))
                next = i;
        total += bounding->nearest[next];
        bounding->degree[next]++;
        bounding->degree[bounding->join[next]]++;
        take_in(bounding, next);
    }
    return total;
}

/* Join the added point to the two of least penalty. */
static double join_ends(struct bounding *bounding)
{
    size_t first = bounding->penalty[0] <= bounding->penalty[1] ? 0 : 1, second = 1 - first;

    for (size_t i = 2; i < bounding->count; i++) {
        if (bounding->penalty[i] < bounding->penalty[first]) {
            second = first;
            first = i;
        } else if (bounding->penalty[i] < bounding->penalty[second]) {
            second = i;
        }
    }
    bounding->degree[first]++;
    bounding->degree[second]++;
    return bounding->penalty[first] + bounding->penalty[second];
}

static double bound_now(struct bounding *bounding)
{
    double bound = least_tree(bounding) + join_ends(bounding);

    for (size_t i = 0; i < bounding->count; i++)
        bound -= 2 * bounding->penalty[i];
    return bound;
}

/* Raise the penalties of points with too many neighbours; false if every one has two. */
static bool move_penalties(struct bounding *bounding, double step, double missing)
{
    double off = 0;

    for (size_t i = 0; i < bounding->count; i++)
        off += (bounding->degree[i] - 2) * (bounding->degree[i] - 2);
    for (size_t i = 0; off > 0 && i < bounding->count; i++)
        bounding->penalty[i] += step * missing / off * (bounding->degree[i] - 2);
    return off > 0;
}

static double raise_bound(struct bounding *bounding, double reached)
{
    double best = 0, step = STEP_START;
    int waited = 0;
    bool open = true;

    for (int round = 0; open && round < ROUNDS; round++) {
        double bound = bound_now(bounding);

        waited = bound > best ? 0 : waited + 1;
        best = fmax(best, bound);
        if (waited > PATIENCE) {
            step /= 2;
            waited = 0;
        }
        step *= STEP_SHRINK;
        open = move_penalties(bounding, step, fmax(reached - bound, 1e-6 * reached));
    }
    return best;
}

enum status path_bound(const double *distance, size_t count, double reached, double *bound,
                       struct error *error)
{
    struct bounding bounding = {.distance = distance, .count = count};

    *bound = 0;
    if (count < 2)
        return STATUS_OK;
    bounding.penalty = memory_array(count, sizeof *bounding.penalty, "a bound", error);
    bounding.nearest = memory_array(count, sizeof *bounding.nearest, "a bound", error);
    bounding.join = memory_array(count, sizeof *bounding.join, "a bound", error);
    bounding.degree = memory_array(count, sizeof *bounding.degree, "a bound", error);
    bounding.within = memory_array(count, sizeof *bounding.within, "a bound", error);
    if (bounding.penalty && bounding.nearest && bounding.join && bounding.degree && bounding.within)
        *bound = raise_bound(&bounding, reached);
    else
        reached = -1;
    free(bounding.penalty);
    free(bounding.nearest);
    free(bounding.join);
    free(bounding.degree);
    free(bounding.within);
    return reached < 0 ? error->status : STATUS_OK;
}
