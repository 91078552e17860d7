#include "light_part.h"

#include "base/memory.h"
#include "values/linear.h"
#include "values/statistics.h"

#include <math.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

#define N LIGHT_UNKNOWNS
#define TARGETS_MAX 2
#define ROUNDS 3
#define LAST_ROUNDS 2
#define USUAL_BEND 0.1 /* to start from: a second difference between neighbouring splines */

/* Tint changes by a part of what the level does. */
#define TINT_SHARE 0.3

/* How far the paper's own level and tint may be from what is expected of papers. */
#define PAPER_LEVEL_DEVIATION 0.06
#define PAPER_TINT_DEVIATION 0.08

/* A sample counts less the further it is off, and nothing beyond this many of the usual
 * deviation (Tukey's biweight). */
#define TUKEY 4.0

/* Samples of a kind too few to show their scatter are taken to scatter this much more than
 * they should. */
#define SCATTER_UNKNOWN 2.0
#define SCATTER_COUNT_MIN 5
#define SCATTER_BESIDE 1.5

/* Samples that stand side by side err alike (paper texture, grain of wood): so many of them
 * tell no more than one. */
static const double samples_alike[LIGHT_SURFACES] = {4, 1, 4};
static const double scatter_min[LIGHT_SURFACES] = {0.2, 0.2, 0.4};

static double share_of(const struct light_field *field, const struct light_part *part)
{
    return field->change * (part->targets == 1 ? 1 : TINT_SHARE);
}

static void take_target(const double log_ratio[3], size_t targets, double *target)
{
    if (targets == 1) {
        target[0] = (log_ratio[0] + log_ratio[1] + log_ratio[2]) / 3;
        return;
    }
    target[0] = log_ratio[0] - log_ratio[1];
    target[1] = log_ratio[2] - log_ratio[1];
}

enum status light_part_create(const struct light_scene *scene, const struct light_row *rows,
                              size_t targets, struct light_part *part, struct error *error)
{
    size_t count = scene->count;
    double *values = memory_array(3 * N * N + 2 * TARGETS_MAX * N + count * (targets + 3),
                                  sizeof *values, "the light field", error);

    if (!values)
        return error->status;
    *part = (struct light_part){
        .scene = scene, .rows = rows, .targets = targets, .card_aside = part->card_aside};
    part->prior = values;
    part->told = part->prior + N * N;
    part->normal = part->told + N * N;
    part->wanted = part->normal + N * N;
    part->right = part->wanted + TARGETS_MAX * N;
    part->target = part->right + TARGETS_MAX * N;
    part->weight = part->target + count * targets;
    part->scaled = part->weight + count;
    part->sizes = part->scaled + count;
    for (size_t i = 0; i < count; i++) {
        take_target(scene->samples[i].log_ratio, targets, part->target + targets * i);
        part->weight[i] = pow(scene->samples[i].deviation, -2);
        if (part->card_aside && scene->samples[i].surface == LIGHT_CARD)
            part->weight[i] = 0;
    }
    return STATUS_OK;
}

static void add_paper(const struct light_part *part)
{
    double deviation = part->targets == 1 ? PAPER_LEVEL_DEVIATION : PAPER_TINT_DEVIATION;
    double target[TARGETS_MAX], weight = pow(deviation, -2);
    size_t paper = LIGHT_LEVELS + LIGHT_PAPER;

    if (!part->scene->paper.known)
        return;
    take_target(part->scene->paper.log_ratio, part->targets, target);
    part->told[paper * N + paper] += weight;
    for (size_t t = 0; t < part->targets; t++)
        part->wanted[t * N + paper] += weight * target[t];
}

/* What the samples tell by their present weights, and what is expected of the paper. */
static void add_up(const struct light_part *part)
{
    memset(part->told, 0, N * N * sizeof *part->told);
    memset(part->wanted, 0, TARGETS_MAX * N * sizeof *part->wanted);
    for (size_t i = 0; i < part->scene->count; i++) {
        const struct light_row *row = &part->rows[i];

        if (part->weight[i] == 0)
            continue;
        light_row_add(row, part->weight[i], part->told);
        for (size_t t = 0; t < part->targets; t++)
            for (int j = 0; j < row->count; j++)
                part->wanted[t * N + (size_t)row->unknown[j]] +=
                    part->weight[i] * row->factor[j] * part->target[part->targets * i + t];
    }
    add_paper(part);
}

/* The normal equations under the present prior; solving overwrites them. */
static void set_up(const struct light_part *part)
{
    for (size_t i = 0; i < N * N; i++)
        part->normal[i] = part->prior[i] + part->told[i];
    memcpy(part->right, part->wanted, TARGETS_MAX * N * sizeof *part->right);
}

/* How far a sample is off the field in one target. */
static double residual_of(const struct light_part *part, size_t i, size_t t)
{
    const struct light_row *row = &part->rows[i];
    double off = part->target[part->targets * i + t];

    for (int j = 0; j < row->count; j++)
        off -= row->factor[j] * part->right[t * N + (size_t)row->unknown[j]];
    return off;
}

/* The same over all targets, in its own standard deviations. */
static double scaled_residual(const struct light_part *part, size_t i)
{
    double square = 0;

    for (size_t t = 0; t < part->targets; t++)
        square += pow(residual_of(part, i, t), 2);
    return sqrt(square) / part->scene->samples[i].deviation;
}

/* By what factor the samples of one kind scatter more or less than they were taken to. */
static double scatter_of(const struct light_part *part, enum light_surface surface)
{
    const double usual = part->targets == 1 ? 0.674 : 1.177; /* median length of so many normals */
    size_t count = 0;

    for (size_t i = 0; i < part->scene->count; i++)
        if (part->scene->samples[i].surface == surface)
            part->sizes[count++] = part->scaled[i];
    if (count < SCATTER_COUNT_MIN)
        return SCATTER_UNKNOWN;
    return fmax(statistics_median(part->sizes, count) / usual, scatter_min[surface]) *
           (1 + 5 / (double)count);
}

/*
 * The same from how samples that stand side by side differ: what no field, smooth or
 * not, can take up.
 */
static double scatter_beside(const struct light_part *part, enum light_surface surface)
{
    const struct light_sample *samples = part->scene->samples;
    size_t count = 0;

    for (size_t i = 0; i < part->scene->count; i++) {
        size_t other = part->beside[i];

        if (samples[i].surface == surface && other != i)
            part->sizes[count++] = fabs(residual_of(part, i, 0) - residual_of(part, other, 0)) /
                                   hypot(samples[i].deviation, samples[other].deviation);
    }
    if (count < SCATTER_COUNT_MIN)
        return SCATTER_UNKNOWN;
    return fmax(statistics_median(part->sizes, count) / 0.674, scatter_min[surface]) *
           (1 + 5 / (double)count);
}

static size_t beside(const struct light_scene *scene, size_t i)
{
    const struct light_sample *samples = scene->samples;
    double nearest = INFINITY;
    size_t other = i;

    for (size_t j = 0; j < scene->count; j++) {
        double x = samples[j].at.x - samples[i].at.x, y = samples[j].at.y - samples[i].at.y;

        if (samples[j].surface == samples[i].surface && j != i && x * x + y * y < nearest) {
            nearest = x * x + y * y;
            other = j;
        }
    }
    return other;
}

/* The weight kept by a sample that is off by a share of what is out of the question (Tukey); or,
 * leniently, never nothing (Cauchy). */
static double weight_kept(double share, bool lenient)
{
    if (lenient)
        return 1 / (1 + share * share);
    return share < 1 ? (1 - share * share) * (1 - share * share) : 0;
}

/*
 * Weigh the samples by how their kind was seen to scatter, and those down that
 * stand off the field: shadow, marks, glare.
 */
static void reweigh(const struct light_part *part, bool lenient)
{
    double scatter[LIGHT_SURFACES];

    for (size_t i = 0; i < part->scene->count; i++)
        part->scaled[i] = scaled_residual(part, i);
    for (int surface = 0; surface < LIGHT_SURFACES; surface++)
        scatter[surface] = lenient
                               ? SCATTER_BESIDE * scatter_beside(part, (enum light_surface)surface)
                               : scatter_of(part, (enum light_surface)surface);
    for (size_t i = 0; i < part->scene->count; i++) {
        const struct light_sample *sample = &part->scene->samples[i];
        double factor = scatter[sample->surface];
        double keep = weight_kept(part->scaled[i] / (TUKEY * factor), lenient);

        if (part->card_aside && sample->surface == LIGHT_CARD)
            part->weight[i] = 0;
        else
            part->weight[i] =
                keep * pow(factor * sample->deviation, -2) / samples_alike[sample->surface];
    }
}

static void take_solution(const struct light_part *part, double *coefficients)
{
    for (size_t j = 0; j < N; j++)
        for (size_t t = 0; t < part->targets; t++)
            coefficients[j * part->targets + t] = part->right[t * N + j];
}

/* Solve for the coefficients under the present weights and prior. */
static enum status solve(const struct light_part *part, struct error *error)
{
    set_up(part);
    return linear_solve_symmetric(part->normal, N, part->right, part->targets, error);
}

static enum status iterate(const struct light_part *part, int rounds, bool lenient,
                           struct error *error)
{
    enum status status = STATUS_OK;

    for (int round = 0; !status && round < rounds; round++) {
        reweigh(part, lenient);
        add_up(part);
        status = solve(part, error);
    }
    return status;
}

/* What of the evidence the squared residuals make, weights and prior as they are. */
static double misfit(const struct light_part *part)
{
    double sum = 0;

    for (size_t i = 0; i < part->scene->count; i++)
        for (size_t t = 0; t < part->targets; t++)
            sum += part->weight[i] * pow(part->target[part->targets * i + t], 2);
    for (size_t i = 0; i < part->targets * N; i++)
        sum -= part->wanted[i] * part->right[i];
    return sum;
}

/*
 * The logarithm of how likely a prior makes the samples, up to a constant.
 * Source: Rasmussen and Williams 2006, section 2.7.
 */
static enum status log_evidence(const struct light_part *part, double *evidence,
                                struct error *error)
{
    double of_prior, of_normal;
    enum status status = linear_log_determinant(part->prior, N, &of_prior, error);

    set_up(part);
    if (!status)
        status = linear_log_determinant(part->normal, N, &of_normal, error);
    if (!status)
        status = solve(part, error);
    if (!status)
        *evidence = ((double)part->targets * (of_prior - of_normal) - misfit(part)) / 2;
    return status;
}

/* The smoothness that makes the samples most likely: a lamp far off, or shadows. */
static enum status choose_bend(const struct light_field *field, const struct light_part *part,
                               struct error *error)
{
    static const double bends[] = {0.01, 0.03, 0.1, 0.2};
    double most = -INFINITY, best = bends[0], evidence = 0;
    enum status status = STATUS_OK;

    for (size_t i = 0; !status && i < sizeof bends / sizeof *bends; i++) {
        light_prior(field, part->scene->centre, share_of(field, part), bends[i], part->prior);
        status = log_evidence(part, &evidence, error);
        if (evidence > most) {
            most = evidence;
            best = bends[i];
        }
    }
    light_prior(field, part->scene->centre, share_of(field, part), best, part->prior);
    return status;
}

enum status light_part_fit(const struct light_field *field, struct light_part *part,
                           double *coefficients, double *covariance, struct error *error)
{
    enum status status;

    light_prior(field, part->scene->centre, share_of(field, part), USUAL_BEND, part->prior);
    add_up(part);
    status = solve(part, error);
    if (!status)
        status = iterate(part, ROUNDS, false, error);
    if (!status)
        status = choose_bend(field, part, error);
    if (!status)
        status = solve(part, error);
    if (!status)
        status = iterate(part, LAST_ROUNDS, false, error);
    take_solution(part, coefficients);
    set_up(part);
    if (!status)
        status = linear_invert_symmetric(part->normal, N, covariance, error);
    return status;
}

static enum status settle(const struct light_part *part, double *residual, double *inverse,
                          struct error *error)
{
    enum status status;

    add_up(part);
    status = solve(part, error);
    if (!status)
        status = iterate(part, ROUNDS, true, error);
    for (size_t i = 0; !status && i < part->scene->count; i++)
        residual[i] = residual_of(part, i, 0);
    set_up(part);
    if (!status)
        status = linear_invert_symmetric(part->normal, N, inverse, error);
    return status;
}

enum status light_part_settle(const struct light_field *field, struct light_part *part,
                              double *residual, double *inverse, struct error *error)
{
    enum status status;

    part->beside = memory_array(part->scene->count, sizeof *part->beside, "the light field", error);
    if (!part->beside)
        return error->status;
    for (size_t i = 0; i < part->scene->count; i++)
        part->beside[i] = beside(part->scene, i);
    light_prior(field, part->scene->centre, share_of(field, part), USUAL_BEND, part->prior);
    status = settle(part, residual, inverse, error);
    free(part->beside);
    part->beside = NULL;
    return status;
}

void light_part_release(struct light_part *part)
{
    free(part->prior);
}
