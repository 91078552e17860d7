#include "correction/light.h"

#include "base/memory.h"
#include "values/linear.h"
#include "values/statistics.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define COLUMNS (LIGHT_TERMS + LIGHT_SURFACES)
#define ROUNDS 8

/* Prior standard deviations of the terms by degree, over one unit: light falls off by tens of
 * per cent over a sheet, and the higher the degree the less. Our own judgement of room light. */
static const double prior_deviation[LIGHT_TERMS] = {0.25,  0.25,  0.08,  0.08, 0.08,
                                                    0.015, 0.015, 0.015, 0.015};
#define LEVEL_RIDGE 1e-6

/* A sample counts less beyond this many of the usual deviation (Tukey's biweight). */
#define TUKEY 5.0
#define SCATTER_MIN 0.2

/* How far beyond the samples the field goes on changing, as a part of their extent. */
#define MARGIN 0.15

/* Samples that stand side by side err alike (paper texture, soft shadows): this many of them
 * tell no more than one. */
#define SAMPLES_ALIKE 8.0

/* A smooth field of degree 3 is itself an approximation. */
#define SHAPE_DEVIATION 0.002

struct light_field light_even(void)
{
    return (struct light_field){.unit_px = 1};
}

static void terms_of(const struct light_field *field, struct point at, double *terms)
{
    double x = (fmin(fmax(at.x, field->low.x), field->high.x) - field->centre.x) / field->unit_px;
    double y = (fmin(fmax(at.y, field->low.y), field->high.y) - field->centre.y) / field->unit_px;
    double values[LIGHT_TERMS] = {x,         y,         x * x,     x * y,    y * y,
                                  x * x * x, x * x * y, x * y * y, y * y * y};

    memcpy(terms, values, sizeof values);
}

static void set_box(const struct light_sample *samples, size_t count, struct light_field *field)
{
    struct point low = field->centre, high = field->centre;

    for (size_t i = 0; i < count; i++) {
        low.x = fmin(low.x, samples[i].at.x);
        low.y = fmin(low.y, samples[i].at.y);
        high.x = fmax(high.x, samples[i].at.x);
        high.y = fmax(high.y, samples[i].at.y);
    }
    field->low =
        (struct point){low.x - MARGIN * (high.x - low.x), low.y - MARGIN * (high.y - low.y)};
    field->high =
        (struct point){high.x + MARGIN * (high.x - low.x), high.y + MARGIN * (high.y - low.y)};
}

/* The fit's working arrays, in one allocation. */
struct system {
    const struct light_sample *samples;
    size_t count;
    double *design; /* count x COLUMNS: the field's terms, then each surface's unknown level */
    double *target; /* count x 3 */
    double *weight;
    double *scaled; /* residuals in their own standard deviations, for the median */
    double *sizes;
    double solution[COLUMNS * 3];
    double ridge[COLUMNS];
};

static enum status system_create(const struct light_sample *samples, size_t count,
                                 const struct light_field *field, struct system *system,
                                 struct error *error)
{
    double *values = memory_array(count * (COLUMNS + 6), sizeof *values, "the light field", error);

    if (!values)
        return error->status;
    *system = (struct system){.samples = samples, .count = count, .design = values};
    system->target = values + count * COLUMNS;
    system->weight = system->target + count * 3;
    system->scaled = system->weight + count;
    system->sizes = system->scaled + count;
    for (size_t i = 0; i < count; i++) {
        terms_of(field, samples[i].at, system->design + i * COLUMNS);
        system->design[i * COLUMNS + LIGHT_TERMS + samples[i].surface] = 1;
        memcpy(system->target + 3 * i, samples[i].log_ratio, 3 * sizeof(double));
        system->weight[i] = 1 / (samples[i].deviation * samples[i].deviation);
    }
    for (int j = 0; j < COLUMNS; j++)
        system->ridge[j] =
            j < LIGHT_TERMS ? 1 / (prior_deviation[j] * prior_deviation[j]) : LEVEL_RIDGE;
    return STATUS_OK;
}

static struct linear_problem problem_of(const struct system *system)
{
    return (struct linear_problem){
        system->design, system->target, system->weight, system->ridge, system->count, COLUMNS, 3};
}

static double residual(const struct system *system, size_t i, int channel)
{
    double fitted = 0;

    for (int j = 0; j < COLUMNS; j++)
        fitted += system->design[i * COLUMNS + (size_t)j] * system->solution[3 * j + channel];
    return system->target[3 * i + (size_t)channel] - fitted;
}

/* The median length of three unit normals: what a sample's scaled residual usually is. */
#define USUAL_LENGTH 1.538

/* By what factor the samples of one kind scatter more or less than they were taken to. */
static double scatter_of(struct system *system, enum light_surface surface)
{
    size_t count = 0;

    for (size_t i = 0; i < system->count; i++)
        if (system->samples[i].surface == surface)
            system->sizes[count++] = system->scaled[i];
    if (count <= COLUMNS)
        return 1;
    return fmax(statistics_median(system->sizes, count) / USUAL_LENGTH, SCATTER_MIN) *
           sqrt((double)count / (double)(count - COLUMNS / 2));
}

/*
 * Weigh the samples by how their kind was seen to scatter, and those down that
 * stand off the field: shadow, marks, glare.
 */
static void reweigh(struct system *system)
{
    double scatter[LIGHT_SURFACES];

    for (size_t i = 0; i < system->count; i++) {
        double square = 0;

        for (int k = 0; k < 3; k++)
            square += residual(system, i, k) * residual(system, i, k);
        system->scaled[i] = sqrt(square) / system->samples[i].deviation;
    }
    for (int surface = 0; surface < LIGHT_SURFACES; surface++)
        scatter[surface] = scatter_of(system, (enum light_surface)surface);
    for (size_t i = 0; i < system->count; i++) {
        double deviation = system->samples[i].deviation * scatter[system->samples[i].surface];
        double share = system->scaled[i] * system->samples[i].deviation / (TUKEY * deviation);
        double keep = share < 1 ? (1 - share * share) * (1 - share * share) : 0;

        system->weight[i] = keep / (deviation * deviation);
    }
}

static void take_solution(const struct system *system, struct light_field *field)
{
    double weights = 0;

    for (int j = 0; j < LIGHT_TERMS; j++)
        memcpy(field->coefficient[j], system->solution + 3 * j, 3 * sizeof(double));
    memset(field->channel_covariance, 0, sizeof field->channel_covariance);
    for (size_t i = 0; i < system->count; i++) {
        double error[3] = {residual(system, i, 0), residual(system, i, 1), residual(system, i, 2)};

        for (int k = 0; k < 9; k++)
            field->channel_covariance[k] += system->weight[i] * error[k / 3] * error[k % 3];
        weights += system->weight[i] > 0;
    }
    for (int k = 0; k < 9; k++)
        field->channel_covariance[k] /= fmax(weights - COLUMNS, 1);
}

/* The prior counts as known, the samples as fewer than they are. */
static enum status take_covariance(struct system *system, struct light_field *field,
                                   struct error *error)
{
    double covariance[COLUMNS * COLUMNS];
    struct linear_problem problem = problem_of(system);
    enum status status;

    for (size_t i = 0; i < system->count; i++)
        system->weight[i] /= system->samples[i].surface == LIGHT_PAPER ? SAMPLES_ALIKE : 1;
    status = linear_covariance(&problem, covariance, error);
    for (int i = 0; !status && i < LIGHT_TERMS; i++)
        memcpy(field->covariance + i * LIGHT_TERMS, covariance + i * COLUMNS,
               LIGHT_TERMS * sizeof *covariance);
    return status;
}

enum status light_fit(const struct light_sample *samples, size_t count, struct point centre,
                      double unit_px, struct light_field *field, struct error *error)
{
    struct system system = {0};
    struct linear_problem problem;
    enum status status;

    *field = light_even();
    field->centre = centre;
    field->unit_px = unit_px;
    set_box(samples, count, field);
    status = system_create(samples, count, field, &system, error);
    for (int round = 0; !status && round < ROUNDS; round++) {
        problem = problem_of(&system);
        status = linear_least_squares(&problem, system.solution, error);
        if (!status && round + 1 < ROUNDS)
            reweigh(&system);
    }
    if (!status) {
        take_solution(&system, field);
        status = take_covariance(&system, field, error);
    }
    free(system.design);
    return status;
}

struct rgb light_at(const struct light_field *field, struct point at)
{
    double terms[LIGHT_TERMS];
    struct rgb light;

    terms_of(field, at, terms);
    for (int k = 0; k < 3; k++) {
        double sum = 0;

        for (int j = 0; j < LIGHT_TERMS; j++)
            sum += terms[j] * field->coefficient[j][k];
        light.channel[k] = exp(sum);
    }
    return light;
}

void light_covariance(const struct light_field *field, struct point at, double covariance[9])
{
    double terms[LIGHT_TERMS];
    double variance = 0;

    terms_of(field, at, terms);
    for (int i = 0; i < LIGHT_TERMS; i++)
        for (int j = 0; j < LIGHT_TERMS; j++)
            variance += terms[i] * terms[j] * field->covariance[i * LIGHT_TERMS + j];
    for (int k = 0; k < 9; k++)
        covariance[k] = variance * field->channel_covariance[k] +
                        SHAPE_DEVIATION * SHAPE_DEVIATION * (variance > 0);
}
