#include "analysis/observation.h"

#include <stdlib.h>

int64_t observation_age_s(const struct observation *observation)
{
    if (!observation->taken_known || !observation->inked_known)
        return -1;
    return observation->taken_s - observation->inked_s;
}

static int order(int64_t a, int64_t b)
{
    return (a > b) - (a < b);
}

static int order_observations(const void *left, const void *right)
{
    const struct observation *a = left, *b = right;
    int first = order(a->swatch, b->swatch);

    if (!first)
        first = order(a->taken_known, b->taken_known);
    if (!first && a->taken_known)
        first = order(a->taken_s, b->taken_s);
    return first ? first : order(a->photo, b->photo);
}

void observation_sort(struct observation *observations, size_t count)
{
    if (count)
        qsort(observations, count, sizeof *observations, order_observations);
}

static int order_by_photo(const void *left, const void *right)
{
    const struct observation *a = left, *b = right;
    int first = order(a->photo, b->photo);

    if (!first)
        first = order(a->batch, b->batch);
    return first ? first : order(a->swatch, b->swatch);
}

void observation_sort_by_photo(struct observation *observations, size_t count)
{
    if (count)
        qsort(observations, count, sizeof *observations, order_by_photo);
}

size_t observation_run(const struct observation *observations, size_t count)
{
    size_t run = 0;

    while (run < count && observations[run].swatch == observations[0].swatch)
        run++;
    return run;
}
