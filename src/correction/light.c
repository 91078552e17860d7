#include "correction/light.h"

#include "base/memory.h"
#include "values/linear.h"
#include "values/statistics.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define COLUMNS (LIGHT_TERMS + LIGHT_SURFACES)
#define TARGETS_MAX 2
#define ROUNDS 8

/* Prior standard deviations of the level's terms by degree, over one unit: light falls off by
 * tens of per cent over a sheet, and the higher the degree the less; its tint changes by a part
 * of that. Our own judgement of room light. */
static const double prior_deviation[LIGHT_TERMS] = {0.25,  0.25,  0.08,  0.08, 0.08,
                                                    0.015, 0.015, 0.015, 0.015};
#define TINT_SHARE 0.15
#define LEVEL_RIDGE 1e-6

/* A sample counts less the further it is off, and nothing beyond this many of the usual
 * deviation (Tukey's biweight). */
#define TUKEY 3.5
#define SCATTER_MIN 0.2

/* Samples of a kind too few to show their scatter are taken to scatter this much more than
 * they should. */
#define SCATTER_UNKNOWN 2.0
#define SCATTER_COUNT_MIN 5

/* How far beyond the samples the field goes on changing, as a part of their extent. */
#define MARGIN 0.15

/* Samples that stand side by side err alike (paper texture, soft shadows): this many of them
 * tell no more than one. */
#define SAMPLES_ALIKE 4.0

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

/* One part of the field being fitted, level or tint; its arrays are one allocation. */
struct part {
    const struct light_sample *samples;
    size_t count;
    size_t targets; /* 1 for the level, 2 for the tint */
    double *design; /* count x COLUMNS: the field's terms, then each surface's unknown level */
    double *target; /* count x targets */
    double *weight;
    double *scaled; /* residuals in their own standard deviations */
    double *sizes;  /* the same, for the median to reorder */
    double solution[COLUMNS * TARGETS_MAX];
    double ridge[COLUMNS];
};

static void take_target(const double log_ratio[3], size_t targets, double *target)
{
    if (targets == 1) {
        target[0] = (log_ratio[0] + log_ratio[1] + log_ratio[2]) / 3;
        return;
    }
    target[0] = log_ratio[0] - log_ratio[1];
    target[1] = log_ratio[2] - log_ratio[1];
}

static void part_prepare(const struct light_field *field, struct part *part)
{
    double share = part->targets == 1 ? 1 : TINT_SHARE;

    for (size_t i = 0; i < part->count; i++) {
        const struct light_sample *sample = &part->samples[i];

        terms_of(field, sample->at, part->design + i * COLUMNS);
        part->design[i * COLUMNS + LIGHT_TERMS + sample->surface] = 1;
        take_target(sample->log_ratio, part->targets, part->target + part->targets * i);
        part->weight[i] = 1 / (sample->deviation * sample->deviation);
    }
    for (int j = 0; j < COLUMNS; j++)
        part->ridge[j] = j < LIGHT_TERMS ? pow(share * prior_deviation[j], -2) : LEVEL_RIDGE;
}

static enum status part_create(const struct light_sample *samples, size_t count, size_t targets,
                               struct part *part, struct error *error)
{
    double *values =
        memory_array(count * (COLUMNS + targets + 3), sizeof *values, "the light field", error);

    if (!values)
        return error->status;
    *part = (struct part){.samples = samples, .count = count, .targets = targets};
    part->design = values;
    part->target = values + count * COLUMNS;
    part->weight = part->target + count * targets;
    part->scaled = part->weight + count;
    part->sizes = part->scaled + count;
    return STATUS_OK;
}

static struct linear_problem problem_of(const struct part *part)
{
    return (struct linear_problem){part->design, part->target, part->weight, part->ridge,
                                   part->count,  COLUMNS,      part->targets};
}

/* How far a sample is off the field, over all targets, in its own standard deviations. */
static double scaled_residual(const struct part *part, size_t i)
{
    double square = 0;

    for (size_t t = 0; t < part->targets; t++) {
        double off = part->target[part->targets * i + t];

        for (size_t j = 0; j < COLUMNS; j++)
            off -= part->design[i * COLUMNS + j] * part->solution[part->targets * j + t];
        square += off * off;
    }
    return sqrt(square) / part->samples[i].deviation;
}

/* By what factor the samples of one kind scatter more or less than they were taken to. */
static double scatter_of(struct part *part, enum light_surface surface)
{
    const double usual = part->targets == 1 ? 0.674 : 1.177; /* median length of so many normals */
    size_t count = 0;

    for (size_t i = 0; i < part->count; i++)
        if (part->samples[i].surface == surface)
            part->sizes[count++] = part->scaled[i];
    if (count < SCATTER_COUNT_MIN)
        return SCATTER_UNKNOWN;
    return fmax(statistics_median(part->sizes, count) / usual, SCATTER_MIN) *
           (1 + COLUMNS / 2.0 / (double)count);
}

/*
 * Weigh the samples by how their kind was seen to scatter, and those down that
 * stand off the field: shadow, marks, glare.
 */
static void reweigh(struct part *part)
{
    double scatter[LIGHT_SURFACES];

    for (size_t i = 0; i < part->count; i++)
        part->scaled[i] = scaled_residual(part, i);
    for (int surface = 0; surface < LIGHT_SURFACES; surface++)
        scatter[surface] = scatter_of(part, (enum light_surface)surface);
    for (size_t i = 0; i < part->count; i++) {
        double factor = scatter[part->samples[i].surface];
        double share = part->scaled[i] / (TUKEY * factor);
        double keep = share < 1 ? (1 - share * share) * (1 - share * share) : 0;

        part->weight[i] = keep * pow(factor * part->samples[i].deviation, -2);
    }
}

/* The prior counts as known, the samples of paper as fewer than they are. */
static enum status take_covariance(struct part *part, double *terms_covariance, struct error *error)
{
    double covariance[COLUMNS * COLUMNS];
    struct linear_problem problem = problem_of(part);
    enum status status;

    for (size_t i = 0; i < part->count; i++)
        part->weight[i] /= part->samples[i].surface == LIGHT_PAPER ? SAMPLES_ALIKE : 1;
    status = linear_covariance(&problem, covariance, error);
    for (int i = 0; !status && i < LIGHT_TERMS; i++)
        memcpy(terms_covariance + i * LIGHT_TERMS, covariance + i * COLUMNS,
               LIGHT_TERMS * sizeof *covariance);
    return status;
}

/* Fit one part; `coefficients` LIGHT_TERMS x targets. */
static enum status fit_part(const struct light_field *field, struct part *part,
                            double *coefficients, double *covariance, struct error *error)
{
    enum status status = STATUS_OK;

    part_prepare(field, part);
    for (int round = 0; !status && round < ROUNDS; round++) {
        struct linear_problem problem = problem_of(part);

        if (round > 0)
            reweigh(part);
        status = linear_least_squares(&problem, part->solution, error);
    }
    memcpy(coefficients, part->solution, LIGHT_TERMS * part->targets * sizeof *coefficients);
    if (!status)
        status = take_covariance(part, covariance, error);
    return status;
}

enum status light_fit(const struct light_sample *samples, size_t count, struct point centre,
                      double unit_px, struct light_field *field, struct error *error)
{
    struct part level = {0}, tint = {0};
    enum status status;

    *field = light_even();
    field->centre = centre;
    field->unit_px = unit_px;
    set_box(samples, count, field);
    status = part_create(samples, count, 1, &level, error);
    if (!status)
        status = part_create(samples, count, 2, &tint, error);
    if (!status)
        status = fit_part(field, &level, field->level, field->level_covariance, error);
    if (!status)
        status = fit_part(field, &tint, &field->tint[0][0], field->tint_covariance, error);
    free(level.design);
    free(tint.design);
    return status;
}

/* --- reading it --- */

/* From level, red over green and blue over green to the channels, between logarithms. */
static const double channels_from_parts[9] = {1,        2 / 3.0, -1 / 3.0, 1,      -1 / 3.0,
                                              -1 / 3.0, 1,       -1 / 3.0, 2 / 3.0};

struct rgb light_at(const struct light_field *field, struct point at)
{
    double terms[LIGHT_TERMS], parts[3] = {0, 0, 0};
    struct rgb light;

    terms_of(field, at, terms);
    for (int j = 0; j < LIGHT_TERMS; j++) {
        parts[0] += terms[j] * field->level[j];
        parts[1] += terms[j] * field->tint[j][0];
        parts[2] += terms[j] * field->tint[j][1];
    }
    linear_apply_3x3(channels_from_parts, parts, light.channel);
    for (int k = 0; k < 3; k++)
        light.channel[k] = exp(light.channel[k]);
    return light;
}

static double variance_of(const double *terms, const double *covariance)
{
    double variance = 0;

    for (int i = 0; i < LIGHT_TERMS; i++)
        for (int j = 0; j < LIGHT_TERMS; j++)
            variance += terms[i] * terms[j] * covariance[i * LIGHT_TERMS + j];
    return variance;
}

void light_covariance(const struct light_field *field, struct point at, double covariance[9])
{
    double terms[LIGHT_TERMS], parts[9] = {0};

    terms_of(field, at, terms);
    parts[0] = variance_of(terms, field->level_covariance);
    parts[4] = parts[8] = variance_of(terms, field->tint_covariance);
    parts[5] = parts[7] = parts[4] / 2; /* both tints are over the same green */
    parts[0] += parts[0] > 0 ? SHAPE_DEVIATION * SHAPE_DEVIATION : 0;
    linear_carry_3x3(channels_from_parts, parts, covariance);
}
