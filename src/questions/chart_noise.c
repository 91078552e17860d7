#include "chart_noise.h"

#include "base/memory.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define SWATCHES_MIN 8   /* fewer tell nothing of a chart; no source */
#define SWATCHES_MAX 512 /* more tell no more */

enum status chart_noise_add(struct chart_noises *noises, const char *chart,
                            const struct drying_noise *told, struct error *error)
{
    if (noises->count == noises->capacity) {
        struct chart_noise *grown =
            memory_grow(noises->items, &noises->capacity, sizeof *grown, "the charts", error);

        if (!grown)
            return error->status;
        noises->items = grown;
    }
    noises->items[noises->count++] = (struct chart_noise){chart, {told->ratio, told->freedom}};
    return STATUS_OK;
}

static int by_chart(const void *left, const void *right)
{
    return strcmp(((const struct chart_noise *)left)->chart,
                  ((const struct chart_noise *)right)->chart);
}

/* What the swatches of one chart tell together, at most SWATCHES_MAX of them. */
static struct variance_prior noise_of(const struct chart_noise *told, size_t count)
{
    double variances[SWATCHES_MAX], freedoms[SWATCHES_MAX];
    size_t taken = count < SWATCHES_MAX ? count : SWATCHES_MAX;

    for (size_t i = 0; i < taken; i++) {
        variances[i] = told[i].noise.variance;
        freedoms[i] = told[i].noise.freedom;
    }
    return statistics_variance_prior(variances, freedoms, taken);
}

void chart_noise_settle(struct chart_noises *noises)
{
    size_t charts = 0;

    if (noises->count)
        qsort(noises->items, noises->count, sizeof *noises->items, by_chart);
    for (size_t from = 0, to; from < noises->count; from = to) {
        for (to = from + 1; to < noises->count; to++)
            if (strcmp(noises->items[from].chart, noises->items[to].chart) != 0)
                break;
        if (to - from >= SWATCHES_MIN)
            noises->items[charts++] = (struct chart_noise){
                noises->items[from].chart, noise_of(noises->items + from, to - from)};
    }
    noises->count = charts;
}

static int by_name(const void *name, const void *noise)
{
    return strcmp(name, ((const struct chart_noise *)noise)->chart);
}

struct variance_prior chart_noise_of(const struct chart_noises *noises, const char *chart)
{
    const struct chart_noise *found =
        noises->count ? bsearch(chart, noises->items, noises->count, sizeof *noises->items, by_name)
                      : NULL;

    return found ? found->noise : (struct variance_prior){1, INFINITY};
}

void chart_noise_release(struct chart_noises *noises)
{
    free(noises->items);
    memset(noises, 0, sizeof *noises);
}
