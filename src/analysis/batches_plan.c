#include "analysis/batches.h"
#include "values/statistics.h"

#define LEVEL 0.05
#define POWER 0.80
#define DIMENSIONS 3

/* The chance to see the difference with so many swatches of each batch. */
static double power_at(double delta_e, double spread, int swatches, bool estimated)
{
    double offset = delta_e * delta_e / (spread * spread) * swatches / 2;
    double freedom = 2 * swatches - 2;

    if (!estimated)
        return statistics_chi_square_beyond(statistics_chi_square_limit(1 - LEVEL, DIMENSIONS),
                                            DIMENSIONS, offset);
    if (freedom < DIMENSIONS)
        return 0;
    return statistics_hotelling_beyond(statistics_hotelling_limit(1 - LEVEL, DIMENSIONS, freedom),
                                       DIMENSIONS, freedom, offset);
}

/* The fewest swatches with enough power; the power grows with them. */
static int fewest(double delta_e, double spread, bool estimated)
{
    int low = 0, high = BATCHES_PLAN_MAX;

    while (high - low > 1) {
        int middle = (low + high) / 2;

        if (power_at(delta_e, spread, middle, estimated) >= POWER)
            high = middle;
        else
            low = middle;
    }
    return high;
}

bool batches_plan(double delta_e, double spread, struct batches_plan *plan)
{
    if (!(power_at(delta_e, spread, BATCHES_PLAN_MAX, true) >= POWER))
        return false;
    plan->swatches = fewest(delta_e, spread, false);
    plan->swatches_estimated = fewest(delta_e, spread, true);
    plan->power = power_at(delta_e, spread, plan->swatches, false);
    plan->power_estimated = power_at(delta_e, spread, plan->swatches_estimated, true);
    return true;
}
