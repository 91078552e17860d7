#include "analysis/drying.h"

#include "analysis/perceptual.h"
#include "base/memory.h"
#include "drying_curve.h"
#include "values/interval.h"
#include "values/linear.h"
#include "values/statistics.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define LEVEL 0.05
/* A chart has dozens of swatches, and "is fading" is said of a whole range of them: fewer false
 * alarms than for a curve. No source. */
#define LEVEL_FADING 0.01
#define DEVIATIONS_95 1.959963984540054
#define CURVE_FIGURES 7 /* two ends of three axes each, and the time */

/* --- the readings --------------------------------------------------------------------------- */

/* What turns a step from a reading into its deviations. */
static void whitener_of(const struct observation *reading, double noise_ratio, double whitener[9])
{
    double covariance[9], root[9];

    for (int i = 0; i < 9; i++)
        covariance[i] = noise_ratio * (reading->covariance_own[i] + reading->covariance_shared[i]) +
                        (i % 4 == 0 ? 1e-6 : 0);
    linear_root_3x3(covariance, root);
    linear_invert_3x3(root, whitener);
}

static enum status points_create(const struct observation *readings, size_t count,
                                 double noise_ratio, struct drying *drying,
                                 struct drying_point **points, struct error *error)
{
    *points = memory_array(count, sizeof **points, "the readings", error);
    if (!*points)
        return error->status;
    drying->inked_known = count && readings[0].inked_known;
    drying->origin_s = !count ? 0 : drying->inked_known ? readings[0].inked_s : readings[0].taken_s;
    for (size_t i = 0; i < count; i++) {
        (*points)[i].t_s = (double)(readings[i].taken_s - drying->origin_s);
        (*points)[i].lab = readings[i].lab;
        whitener_of(&readings[i], noise_ratio, (*points)[i].whitener);
        drying->last_s = (*points)[i].t_s;
    }
    return STATUS_OK;
}

static int different_times(const struct drying_point *points, size_t count)
{
    int times = 0;

    for (size_t i = 0; i < count; i++)
        times += i == 0 || points[i].t_s > points[i - 1].t_s;
    return times;
}

/* The 95 % radius of a reading among the others of its swatch. */
static double noise_of(const struct observation *reading, double noise_ratio)
{
    double frame[9], covariance[9], carried[9], variances[3];

    for (int i = 0; i < 9; i++)
        covariance[i] = noise_ratio * (reading->covariance_own[i] + reading->covariance_shared[i]);
    perceptual_frame(reading->lab, frame);
    linear_carry_3x3(frame, covariance, carried);
    linear_eigenvalues_3x3(carried, variances);
    return statistics_normal_radius(variances, 0.95);
}

/* --- unmoved and fading --------------------------------------------------------------------- */

static void covariance_of(const struct drying_point *point, double covariance[9])
{
    static const double one[9] = {1, 0, 0, 0, 1, 0, 0, 0, 1};
    double root[9];

    linear_invert_3x3(point->whitener, root);
    linear_carry_3x3(root, one, covariance);
}

/*
 * No change is seen. What is too small to be seen may still be there, so not the
 * mean of all stands for the dry colour, but the latest reading.
 */
static void take_constant(const struct drying_point *points, size_t count,
                          const struct drying_line *line, struct drying *drying)
{
    const struct drying_point *first = &points[0], *last = &points[count - 1];
    const double lab[3] = {last->lab.L, last->lab.a, last->lab.b};
    double covariance[9];
    struct interval moved;

    if (drying->state != DRYING_FADING)
        drying->state = DRYING_UNMOVED;
    drying->fitted = true;
    drying->tau_s = drying->settled_s = (struct drying_figure){0, 0, 0};
    drying->wet = first->lab;
    drying->dry = last->lab;
    drying->level = line->level;
    covariance_of(first, covariance);
    covariance_of(last, drying->covariance_dry);
    for (int i = 0; i < 9; i++)
        covariance[i] += drying->covariance_dry[i];
    moved = interval_of_difference(first->lab, last->lab, covariance);
    drying->moved = (struct drying_figure){moved.measured, moved.low, moved.high};
    for (int k = 0; k < 3; k++) {
        double half = DEVIATIONS_95 * sqrt(drying->covariance_dry[4 * k]);

        drying->dry_axis[k] = (struct drying_figure){lab[k], lab[k] - half, lab[k] + half};
    }
}

/* Look for a drift in the readings later than a day; true if there is one. */
static enum status look_for_fading(const struct drying_point *points, size_t count,
                                   struct drying *drying, struct error *error)
{
    const double days_30 = 30.0 * DRYING_DAY_S;
    size_t first = 0;
    struct drying_line line;
    enum status status;

    while (first < count && points[first].t_s < DRYING_DAY_S)
        first++;
    if (different_times(points + first, count - first) < DRYING_READINGS_MIN ||
        points[count - 1].t_s - points[first].t_s < DRYING_FADING_SPAN_DAYS * DRYING_DAY_S)
        return STATUS_OK;
    status = drying_line_fit(points + first, count - first, true, &line, error);
    if (status || statistics_chi_square_beyond(line.moved_square, 3, 0) > LEVEL_FADING)
        return status;
    drying->state = DRYING_FADING;
    drying->fading = drying_line_rate(&line, days_30);
    return STATUS_OK;
}

/* --- whether it changed at all ---------------------------------------------------------------- */

/* The chance of a weighted difference of the readings like this one where all are of one colour. */
static double chance_of(const struct drying_point *points, size_t count, double freedom,
                        double (*weight_at)(size_t place, size_t count))
{
    double difference[3] = {0}, covariance[9] = {0}, inverse[9], carried[3], square = 0;

    for (size_t i = 0; i < count; i++) {
        const double lab[3] = {points[i].lab.L, points[i].lab.a, points[i].lab.b};
        double weight = weight_at(i, count), own[9];

        covariance_of(&points[i], own);
        for (int k = 0; k < 3; k++)
            difference[k] += weight * lab[k];
        for (int k = 0; k < 9; k++)
            covariance[k] += weight * weight * own[k];
    }
    linear_invert_3x3(covariance, inverse);
    linear_apply_3x3(inverse, difference, carried);
    for (int k = 0; k < 3; k++)
        square += difference[k] * carried[k];
    return statistics_f_beyond(square / 3, 3, freedom);
}

/* On and on, in the order of time: what dries goes one way. */
static double weight_of_order(size_t place, size_t count)
{
    return (double)place - ((double)count - 1) / 2;
}

/* The first reading against the others: what dries fast is dry at the second. */
static double weight_of_first(size_t place, size_t count)
{
    return place ? -1 / ((double)count - 1) : 1;
}

static bool has_changed(const struct drying_point *points, size_t count, double freedom)
{
    double chance = fmin(chance_of(points, count, freedom, weight_of_order),
                         chance_of(points, count, freedom, weight_of_first));

    return 2 * chance <= LEVEL;
}

/* --- the curve ------------------------------------------------------------------------------ */

static enum status fit_curve(const struct drying_point *points, size_t count, double freedom,
                             struct drying *drying, struct error *error)
{
    struct drying_line line;
    double left_square = INFINITY;
    enum status status = drying_line_fit(points, count, false, &line, error);

    if (!status && has_changed(points, count, freedom))
        status = drying_curve_fit(points, count, drying, &left_square, error);
    if (!status && !isfinite(left_square))
        take_constant(points, count, &line, drying);
    return status;
}

/* --- all of it ------------------------------------------------------------------------------ */

enum status drying_noise_of(const struct observation *readings, size_t count,
                            struct drying_noise *noise, struct error *error)
{
    struct drying_point *points = NULL;
    struct drying drying;
    double left_square = 0;
    enum status status = points_create(readings, count, 1, &drying, &points, error);

    *noise = (struct drying_noise){0, 3 * (double)count - CURVE_FIGURES};
    if (!status && different_times(points, count) >= DRYING_READINGS_MIN)
        status = drying_curve_left(points, count, &left_square, error);
    if (left_square > 0)
        noise->ratio = left_square / noise->freedom;
    free(points);
    return status;
}

/* What is known of the noise with this swatch's own. */
static enum status join_noise(const struct observation *readings, size_t count,
                              const struct variance_prior *known, struct variance_prior *noise,
                              struct error *error)
{
    struct drying_noise own = {0, 0};
    enum status status = STATUS_OK;

    *noise = known ? *known : (struct variance_prior){1, INFINITY};
    if (isinf(noise->freedom))
        return STATUS_OK;
    status = drying_noise_of(readings, count, &own, error);
    if (status || !(own.ratio > 0))
        return status;
    noise->variance = (noise->freedom * noise->variance + own.freedom * own.ratio) /
                      (noise->freedom + own.freedom);
    noise->freedom += own.freedom;
    return STATUS_OK;
}

enum status drying_fit(const struct observation *readings, size_t count,
                       const struct variance_prior *noise, struct drying *drying,
                       struct error *error)
{
    struct drying_point *points = NULL;
    struct variance_prior joined;
    size_t early = 0;
    enum status status = join_noise(readings, count, noise, &joined, error);

    memset(drying, 0, sizeof *drying);
    drying->readings = (int)count;
    if (!status)
        status = points_create(readings, count, joined.variance, drying, &points, error);
    if (!status && different_times(points, count) >= DRYING_READINGS_MIN) {
        drying->noise = noise_of(&readings[count - 1], joined.variance);
        status = look_for_fading(points, count, drying, error);
        early = count;
        while (drying->state == DRYING_FADING && early > 0 && points[early - 1].t_s >= DRYING_DAY_S)
            early--;
        if (!status && different_times(points, early) >= DRYING_READINGS_MIN)
            status = fit_curve(points, early, joined.freedom, drying, error);
    }
    free(points);
    return status;
}

struct lab drying_colour(const struct drying *drying, double t_s)
{
    double left = exp(-t_s / drying->tau_s.value);

    if (!(drying->tau_s.value > 0))
        return drying->level;
    return (struct lab){drying->dry.L + (drying->wet.L - drying->dry.L) * left,
                        drying->dry.a + (drying->wet.a - drying->dry.a) * left,
                        drying->dry.b + (drying->wet.b - drying->dry.b) * left};
}
