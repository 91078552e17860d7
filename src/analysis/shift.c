#include "base/memory.h"
#include "comparison.h"
#include "values/linear.h"
#include "values/statistics.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define ROUNDS 15
#define HUBER 2.8 /* deviations: what lies further counts less */
#define HUBER_ROUNDS 5
#define TUKEY 5.0             /* then what lies further counts nothing: it is a changed ink */
#define TUKEY_EFFICIENCY 0.85 /* against least squares where no ink is changed */
#define SCATTER_MAX 400.0     /* delta E squared */
#define HALVINGS 40
#define COLUMNS 2 /* a constant, and what grows with lightness as an exposure's error does */
#define MIDDLE_LIGHTNESS 50.0

/* The inks whose batches come from different photos, and the shift fitted to them. */
struct shifting {
    struct comparison **inks;
    size_t count;
    double *design, *target, *weight, *distances;
    double solution[3 * COLUMNS];
    double scatter; /* variance per axis that the photos leave, perceptual */
};

static struct lab shift_at(const double solution[3 * COLUMNS], double lightness)
{
    double slope = (lightness - MIDDLE_LIGHTNESS) / MIDDLE_LIGHTNESS;

    return (struct lab){solution[0] + slope * solution[3], solution[1] + slope * solution[4],
                        solution[2] + slope * solution[5]};
}

/* What is left of an ink's difference, in perceptual steps. */
static void residual(const struct comparison *ink, const double solution[3 * COLUMNS],
                     double left[3])
{
    struct lab shift = shift_at(solution, (ink->before.L + ink->after.L) / 2);

    linear_apply_3x3(ink->frame,
                     (double[3]){ink->after.L - ink->before.L - shift.L,
                                 ink->after.a - ink->before.a - shift.a,
                                 ink->after.b - ink->before.b - shift.b},
                     left);
}

/* Squared distance of what is left, in its own deviations with a scatter added. */
static double distance(const struct comparison *ink, const struct swatch_spread *spread,
                       const double left[3], double scatter)
{
    double covariance[9], inverse[9], carried[3];

    comparison_swatch(ink, spread, covariance);
    for (int i = 0; i < 9; i++)
        covariance[i] = covariance[i] * ink->parts + (i % 4 == 0 ? scatter : 0);
    linear_invert_3x3(covariance, inverse);
    linear_apply_3x3(inverse, left, carried);
    return left[0] * carried[0] + left[1] * carried[1] + left[2] * carried[2];
}

/*
 * Two ways to sum up the distances, and what each is for chi-squares of 3. The
 * median hardly minds changed inks, and finds them; the mean of those not found
 * changed, each counting at most `most`, is far more exact, and comes last.
 */
static double median_distance(struct shifting *shifting, const struct swatch_spread *spread,
                              double scatter)
{
    for (size_t i = 0; i < shifting->count; i++) {
        double left[3];

        residual(shifting->inks[i], shifting->solution, left);
        shifting->distances[i] = distance(shifting->inks[i], spread, left, scatter);
    }
    return statistics_median(shifting->distances, shifting->count) /
           statistics_chi_square_limit(0.5, 3);
}

static double mean_distance(struct shifting *shifting, const struct swatch_spread *spread,
                            double scatter)
{
    double most = statistics_chi_square_limit(0.95, 3);
    double expected = 3 * (1 - statistics_chi_square_beyond(most, 5, 0)) +
                      most * statistics_chi_square_beyond(most, 3, 0);
    double sum = 0, kept = 0;

    for (size_t i = 0; i < shifting->count; i++) {
        double left[3];

        if (!(shifting->weight[i] > 0))
            continue;
        residual(shifting->inks[i], shifting->solution, left);
        sum += fmin(distance(shifting->inks[i], spread, left, scatter), most);
        kept++;
    }
    return kept > 0 ? sum / kept / expected : 0;
}

/* The scatter that brings the distances to where they belong. */
static void fit_scatter(struct shifting *shifting, const struct swatch_spread *spread,
                        double (*summed)(struct shifting *, const struct swatch_spread *, double))
{
    double wanted = (double)(shifting->count - COLUMNS) / (double)shifting->count;
    double low = 0, high = SCATTER_MAX;

    shifting->scatter = 0;
    if (summed(shifting, spread, 0) <= wanted)
        return;
    for (int i = 0; i < HALVINGS; i++) {
        shifting->scatter = (low + high) / 2;
        if (summed(shifting, spread, shifting->scatter) > wanted)
            low = shifting->scatter;
        else
            high = shifting->scatter;
    }
}

static double weight_of(double away, int round)
{
    double left = 1 - away * away / (TUKEY * TUKEY);

    if (round < HUBER_ROUNDS)
        return away > HUBER ? HUBER / away : 1;
    return left > 0 ? left * left : 0;
}

static void weigh(struct shifting *shifting, const struct swatch_spread *spread, int round)
{
    for (size_t i = 0; i < shifting->count; i++) {
        double left[3], away;

        residual(shifting->inks[i], shifting->solution, left);
        away = sqrt(distance(shifting->inks[i], spread, left, shifting->scatter));
        shifting->weight[i] = weight_of(away, round);
    }
}

static enum status fit_shift(struct shifting *shifting, const struct swatch_spread *spread,
                             struct error *error)
{
    const struct linear_problem problem = {.design = shifting->design,
                                           .target = shifting->target,
                                           .weight = shifting->weight,
                                           .ridge = (double[COLUMNS]){1e-9, 1e-3},
                                           .rows = shifting->count,
                                           .columns = COLUMNS,
                                           .targets = 3};
    enum status status = STATUS_OK;

    for (int round = 0; !status && round < ROUNDS; round++) {
        status = linear_least_squares(&problem, shifting->solution, error);
        if (status)
            break;
        fit_scatter(shifting, spread, median_distance);
        weigh(shifting, spread, round);
    }
    if (!status)
        fit_scatter(shifting, spread, mean_distance);
    return status;
}

static void fill(struct shifting *shifting)
{
    for (size_t i = 0; i < shifting->count; i++) {
        const struct comparison *ink = shifting->inks[i];
        double lightness = (ink->before.L + ink->after.L) / 2;

        shifting->design[COLUMNS * i] = 1;
        shifting->design[COLUMNS * i + 1] = (lightness - MIDDLE_LIGHTNESS) / MIDDLE_LIGHTNESS;
        shifting->target[3 * i] = ink->after.L - ink->before.L;
        shifting->target[3 * i + 1] = ink->after.a - ink->before.a;
        shifting->target[3 * i + 2] = ink->after.b - ink->before.b;
        shifting->weight[i] = 1;
    }
}

/* The error of the shift itself at an ink: that of all inks, by so many of them. */
static double shift_variance(const struct shifting *shifting, const struct swatch_spread *spread)
{
    double sum = 0;

    for (size_t i = 0; i < shifting->count; i++) {
        double covariance[9];

        comparison_swatch(shifting->inks[i], spread, covariance);
        sum += shifting->inks[i]->parts * (covariance[0] + covariance[4] + covariance[8]) / 3;
    }
    sum = sum / (double)shifting->count + shifting->scatter;
    return sum * COLUMNS / (TUKEY_EFFICIENCY * (double)shifting->count);
}

/* Take the shift off each ink; what the photos leave is the scatter and the shift's own error. */
static void apply(const struct shifting *shifting, const struct swatch_spread *spread)
{
    double left = shifting->scatter + shift_variance(shifting, spread);

    for (size_t i = 0; i < shifting->count; i++) {
        struct comparison *ink = shifting->inks[i];
        struct lab shift = shift_at(shifting->solution, (ink->before.L + ink->after.L) / 2);

        residual(ink, shifting->solution, ink->difference);
        ink->after.L -= shift.L;
        ink->after.a -= shift.a;
        ink->after.b -= shift.b;
        memset(ink->photo, 0, sizeof ink->photo);
        for (int j = 0; j < 3; j++)
            ink->photo[4 * j] = left;
        ink->photo_freedom = (double)(shifting->count - COLUMNS);
    }
}

static void report(const struct shifting *shifting, struct batches *batches)
{
    double lightness = 0;
    struct lab middle, moved;

    for (size_t i = 0; i < shifting->count; i++)
        lightness += shifting->inks[i]->before.L / (double)shifting->count;
    batches->shift_found = true;
    batches->shift_scatter = sqrt(shifting->scatter);
    batches->shift = shift_at(shifting->solution, lightness);
    middle = moved = (struct lab){lightness, 0, 0};
    moved.L += batches->shift.L;
    moved.a += batches->shift.a;
    moved.b += batches->shift.b;
    batches->shift_delta_e = colour_delta_e_2000(middle, moved);
}

enum status comparison_take_shift(struct comparison *comparisons, size_t count,
                                  const struct swatch_spread *spread, struct batches *batches,
                                  struct error *error)
{
    struct shifting shifting = {0};
    double *room = memory_array((COLUMNS + 5) * count, sizeof *room, "the shift", error);
    enum status status = STATUS_OK;

    shifting.inks = memory_array(count, sizeof *shifting.inks, "the shift", error);
    if (!room || !shifting.inks)
        status = error->status;
    for (size_t i = 0; !status && i < count; i++)
        if (comparisons[i].usable && !comparisons[i].same_photo)
            shifting.inks[shifting.count++] = &comparisons[i];
    if (!status && shifting.count >= BATCHES_SHIFT_INKS_MIN) {
        shifting.design = room;
        shifting.target = room + COLUMNS * count;
        shifting.weight = room + (COLUMNS + 3) * count;
        shifting.distances = room + (COLUMNS + 4) * count;
        fill(&shifting);
        status = fit_shift(&shifting, spread, error);
        if (!status) {
            apply(&shifting, spread);
            report(&shifting, batches);
        }
    }
    free(shifting.inks);
    free(room);
    return status;
}
