#include "analysis/repeat.h"

#include "base/memory.h"
#include "measurement/radius.h"
#include "values/linear.h"
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

/* --- whether they are of one sheet --- */

#define LIMIT 0.99 /* what two readings of one colour keep within */
#define UNLIKE_PART                                                                                \
    5 /* more than one cell in so many beyond it: by chance no photo has; no source */
#define UNLIKE_CELLS 2 /* and so many at least */

/* Whether two readings are of two colours, a difference common to all cells taken off: that is the
 * photos', and would make all cells unlike at once. */
static bool are_unlike(const struct repeat_reading *a, const struct repeat_reading *b,
                       struct lab common)
{
    const double step[3] = {a->lab.L - b->lab.L - common.L, a->lab.a - b->lab.a - common.a,
                            a->lab.b - b->lab.b - common.b};
    double covariance[9], inverse[9], carried[3];

    for (int i = 0; i < 9; i++)
        covariance[i] = a->covariance_own[i] + a->covariance_shared[i] + b->covariance_own[i] +
                        b->covariance_shared[i] + (i % 4 == 0 ? 1e-4 : 0);
    linear_invert_3x3(covariance, inverse);
    linear_apply_3x3(inverse, step, carried);
    return step[0] * carried[0] + step[1] * carried[1] + step[2] * carried[2] >
           statistics_chi_square_limit(LIMIT, 3);
}

/* The middle difference of two photos along each axis; `room` is for all cells. */
static struct lab common_difference(const struct repeat_reading *one,
                                    const struct repeat_reading *other, size_t cells, double *room)
{
    double middle[3];

    for (int axis = 0; axis < 3; axis++) {
        size_t count = 0;

        for (size_t i = 0; i < cells; i++) {
            const double step[3] = {one[i].lab.L - other[i].lab.L, one[i].lab.a - other[i].lab.a,
                                    one[i].lab.b - other[i].lab.b};

            if (one[i].readable && other[i].readable)
                room[count++] = step[axis];
        }
        middle[axis] = count ? statistics_quantile(room, count, 0.5) : 0;
    }
    return (struct lab){middle[0], middle[1], middle[2]};
}

/* Compare two photos; `differences` has room for all cells. */
static struct repeat_apart compare_two(const struct repeat_reading *one,
                                       const struct repeat_reading *other, size_t cells,
                                       double *differences)
{
    struct repeat_apart apart = {.found = false};
    struct lab common = common_difference(one, other, cells, differences);

    for (size_t i = 0; i < cells; i++) {
        if (!one[i].readable || !other[i].readable)
            continue;
        differences[apart.cells++] = colour_delta_e_2000(one[i].lab, other[i].lab);
        apart.unlike += are_unlike(&one[i], &other[i], common);
    }
    apart.found = apart.unlike >= UNLIKE_CELLS && apart.unlike * UNLIKE_PART > apart.cells;
    if (apart.found)
        apart.median_difference = statistics_quantile(differences, apart.cells, 0.5);
    return apart;
}

enum status repeat_find_apart(const struct repeat_reading *readings, size_t photos, size_t cells,
                              struct repeat_apart *apart, struct error *error)
{
    double *differences =
        memory_array(cells + 1, sizeof *differences, "the photos' differences", error);

    *apart = (struct repeat_apart){.found = false};
    if (!differences)
        return error->status;
    for (size_t second = 1; second < photos; second++)
        for (size_t first = 0; first < second; first++) {
            struct repeat_apart two = compare_two(readings + first * cells,
                                                  readings + second * cells, cells, differences);

            two.first = first;
            two.second = second;
            if (two.found && (!apart->found || two.unlike > apart->unlike))
                *apart = two;
        }
    free(differences);
    return STATUS_OK;
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
