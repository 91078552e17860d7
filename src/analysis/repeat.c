#include "analysis/repeat.h"

#include "base/memory.h"
#include "measurement/radius.h"
#include "values/statistics.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static const struct repeat_reading *reading_at(const struct repeat_reading *readings, size_t cells,
                                               size_t photo, size_t cell)
{
    return &readings[photo * cells + cell];
}

static double trace(const double covariance[9])
{
    return covariance[0] + covariance[4] + covariance[8];
}

/* --- a cell --- */

static void take_mean(const struct repeat_reading *readings, size_t photos, size_t cells,
                      size_t cell, struct repeat_cell *pooled)
{
    for (size_t i = 0; i < photos; i++) {
        const struct repeat_reading *reading = reading_at(readings, cells, i, cell);

        if (!reading->readable)
            continue;
        pooled->photos++;
        pooled->lab.L += reading->lab.L;
        pooled->lab.a += reading->lab.a;
        pooled->lab.b += reading->lab.b;
    }
    pooled->lab.L /= pooled->photos > 0 ? pooled->photos : 1;
    pooled->lab.a /= pooled->photos > 0 ? pooled->photos : 1;
    pooled->lab.b /= pooled->photos > 0 ? pooled->photos : 1;
}

/* Compare each two photos of a cell; the differences are added to `differences`. */
static size_t compare_photos(const struct repeat_reading *readings, size_t photos, size_t cells,
                             size_t cell, struct repeat_cell *pooled, double *differences)
{
    double squares = 0;
    size_t count = 0;

    for (size_t i = 0; i < photos; i++) {
        const struct repeat_reading *one = reading_at(readings, cells, i, cell);

        if (!one->readable)
            continue;
        squares += pow(colour_delta_e_2000(one->lab, pooled->lab), 2);
        for (size_t j = 0; j < i; j++) {
            const struct repeat_reading *other = reading_at(readings, cells, j, cell);

            if (!other->readable)
                continue;
            differences[count] = colour_delta_e_2000(one->lab, other->lab);
            pooled->largest = fmax(pooled->largest, differences[count++]);
        }
    }
    if (pooled->photos > 1)
        pooled->repeatability = sqrt(squares / (pooled->photos - 1));
    return count;
}

/* --- all cells --- */

/* What is seen and what was stated, as sums over the cells of variances over L, a and b. */
struct variances {
    double seen;   /* between photos */
    double own;    /* stated for the cells alone */
    double shared; /* stated for the photos */
};

static void add_variances(const struct repeat_reading *readings, size_t photos, size_t cells,
                          size_t cell, const struct repeat_cell *pooled, struct variances *sums)
{
    if (pooled->photos < 2)
        return;
    for (size_t i = 0; i < photos; i++) {
        const struct repeat_reading *reading = reading_at(readings, cells, i, cell);
        struct lab off = {reading->lab.L - pooled->lab.L, reading->lab.a - pooled->lab.a,
                          reading->lab.b - pooled->lab.b};

        if (!reading->readable)
            continue;
        sums->seen += (off.L * off.L + off.a * off.a + off.b * off.b) / (pooled->photos - 1);
        sums->own += trace(reading->covariance_own) / pooled->photos;
        sums->shared += trace(reading->covariance_shared) / pooled->photos;
    }
}

/* The part of the photos' stated variance that shows between them is what shrinks. */
static double part_that_stays(const struct variances *sums)
{
    double shows = sums->seen - sums->own;

    return sums->shared > 0 ? 1 - fmin(fmax(shows / sums->shared, 0), 1) : 1;
}

static void state_uncertainty(const struct repeat_reading *readings, size_t photos, size_t cells,
                              size_t cell, double stays, struct repeat_cell *pooled)
{
    double covariance[9] = {0}, n = pooled->photos;

    for (size_t i = 0; i < photos && n > 0; i++) {
        const struct repeat_reading *reading = reading_at(readings, cells, i, cell);

        for (int k = 0; k < 9 && reading->readable; k++)
            covariance[k] += reading->covariance_shared[k] * (stays + (1 - stays) / n) / n +
                             reading->covariance_own[k] / (n * n);
    }
    pooled->u95 = n > 0 ? radius_95(pooled->lab, covariance) : 0;
}

enum status repeat_pool(const struct repeat_reading *readings, size_t photos, size_t cells,
                        struct repeat_cell *pooled, struct repeat *repeat, struct error *error)
{
    double *differences = memory_array(cells * photos * photos / 2 + 1, sizeof *differences,
                                       "the photos' differences", error);
    struct variances sums = {0, 0, 0};
    size_t count = 0;

    memset(repeat, 0, sizeof *repeat);
    memset(pooled, 0, cells * sizeof *pooled);
    if (!differences)
        return error->status;
    for (size_t i = 0; i < cells; i++) {
        take_mean(readings, photos, cells, i, &pooled[i]);
        count += compare_photos(readings, photos, cells, i, &pooled[i], differences + count);
        add_variances(readings, photos, cells, i, &pooled[i], &sums);
        repeat->cells += pooled[i].photos > 1;
    }
    repeat->stays = part_that_stays(&sums);
    for (size_t i = 0; i < cells; i++)
        state_uncertainty(readings, photos, cells, i, repeat->stays, &pooled[i]);
    if (count) {
        repeat->median_difference = statistics_quantile(differences, count, 0.5);
        repeat->p95_difference = statistics_quantile(differences, count, 0.95);
    }
    free(differences);
    return STATUS_OK;
}
