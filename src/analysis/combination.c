#include "analysis/combination.h"

#include <math.h>
#include <stdbool.h>

/* The smaller combination's colours are matched one by one to colours of the larger. */
struct matching {
    const struct combination *small, *large;
    double distance[COMBINATION_MOST][COMBINATION_MOST]; /* small x large */
    double alone[COMBINATION_MOST]; /* of the larger's colours, to the nearest of the smaller */
    bool taken[COMBINATION_MOST];
};

static double left_over(const struct matching *matching)
{
    double sum = 0;

    for (size_t j = 0; j < matching->large->count; j++)
        sum += matching->taken[j] ? 0 : matching->alone[j];
    return sum;
}

static double best_from(struct matching *matching, size_t i)
{
    double best = HUGE_VAL;

    if (i == matching->small->count)
        return left_over(matching);
    for (size_t j = 0; j < matching->large->count; j++) {
        if (matching->taken[j])
            continue;
        matching->taken[j] = true;
        best = fmin(best, matching->distance[i][j] + best_from(matching, i + 1));
        matching->taken[j] = false;
    }
    return best;
}

double combination_distance(const struct combination *a, const struct combination *b)
{
    bool swapped = a->count > b->count;
    struct matching matching = {.small = swapped ? b : a, .large = swapped ? a : b};

    if (!matching.small->count)
        return 0;
    for (size_t j = 0; j < matching.large->count; j++) {
        matching.alone[j] = HUGE_VAL;
        for (size_t i = 0; i < matching.small->count; i++) {
            matching.distance[i][j] =
                colour_delta_e_2000(matching.small->colours[i], matching.large->colours[j]);
            matching.alone[j] = fmin(matching.alone[j], matching.distance[i][j]);
        }
    }
    return best_from(&matching, 0) / (double)matching.large->count;
}
