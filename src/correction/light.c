#include "correction/light.h"

#include "base/memory.h"
#include "correction/light_part.h"
#include "values/linear.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define N LIGHT_UNKNOWNS
/* How far the field reaches beyond the samples, as a part of their extent. */
#define MARGIN 0.02

/* A smooth field is itself an approximation. */
#define SHAPE_DEVIATION 0.002

void light_even(struct light_field *field)
{
    memset(field, 0, sizeof *field);
    field->high = (struct point){1, 1};
}

/* --- the field's place --- */

static void widen(struct point at, struct point *low, struct point *high)
{
    low->x = fmin(low->x, at.x);
    low->y = fmin(low->y, at.y);
    high->x = fmax(high->x, at.x);
    high->y = fmax(high->y, at.y);
}

static void place_sheet(const struct light_scene *scene, struct light_field *field)
{
    struct point low = {INFINITY, INFINITY}, high = {-INFINITY, -INFINITY};

    for (size_t i = 0; i < scene->count; i++)
        if (scene->samples[i].surface == LIGHT_PAPER)
            widen(scene->samples[i].at, &low, &high);
    if (!(high.x > low.x || high.y > low.y))
        return;
    field->sheet_centre = point_between(low, high, 0.5);
    field->sheet_px = point_distance(low, high) / 2;
}

static void place_field(const struct light_scene *scene, struct light_field *field)
{
    struct point size, low = scene->centre, high = scene->centre;

    for (size_t i = 0; i < scene->count; i++)
        widen(scene->samples[i].at, &low, &high);
    size = point_scale(point_subtract(high, low), MARGIN);
    size = point_add(size, (struct point){1, 1});
    field->low = point_subtract(low, size);
    field->high = point_add(high, size);
    place_sheet(scene, field);
}

/* --- fitting --- */

static enum status fit_parts(const struct light_scene *scene, const struct light_row *rows,
                             struct light_field *field, struct error *error)
{
    struct light_part level = {0}, tint = {0};
    enum status status = light_part_create(scene, rows, 1, &level, error);

    if (!status)
        status = light_part_create(scene, rows, 2, &tint, error);
    if (!status)
        status = light_part_fit(field, &level, field->level, field->level_covariance, error);
    if (!status)
        status = light_part_fit(field, &tint, &field->tint[0][0], field->tint_covariance, error);
    light_part_release(&level);
    light_part_release(&tint);
    return status;
}

enum status light_fit(const struct light_scene *scene, struct light_field *field,
                      struct error *error)
{
    struct light_row *rows = memory_array(scene->count, sizeof *rows, "the light field", error);
    enum status status;

    if (!rows)
        return error->status;
    light_even(field);
    place_field(scene, field);
    for (size_t i = 0; i < scene->count; i++)
        rows[i] =
            light_row_of_surface(field, scene->samples[i].at, scene->samples[i].surface);
    status = fit_parts(scene, rows, field, error);
    free(rows);
    return status;
}

/* --- reading it --- */

/* From level, red over green and blue over green to the channels, between logarithms. */
static const double channels_from_parts[9] = {1,        2 / 3.0, -1 / 3.0, 1,      -1 / 3.0,
                                              -1 / 3.0, 1,       -1 / 3.0, 2 / 3.0};

static struct rgb light_of(const struct light_field *field, const struct light_row *row)
{
    double parts[3] = {0, 0, 0};
    struct rgb light;

    for (int i = 0; i < row->count; i++) {
        parts[0] += row->factor[i] * field->level[row->unknown[i]];
        parts[1] += row->factor[i] * field->tint[row->unknown[i]][0];
        parts[2] += row->factor[i] * field->tint[row->unknown[i]][1];
    }
    linear_apply_3x3(channels_from_parts, parts, light.channel);
    for (int k = 0; k < 3; k++)
        light.channel[k] = exp(light.channel[k]);
    return light;
}

struct rgb light_at(const struct light_field *field, struct point at)
{
    struct light_row row = light_row_of_field(field, at);

    return light_of(field, &row);
}

struct rgb light_paper_at(const struct light_field *field, struct point at)
{
    struct light_row row = light_row_of_surface(field, at, LIGHT_PAPER);

    return light_of(field, &row);
}

/* The paper's own level alone. */
static const struct light_row paper_row = {{LIGHT_LEVELS + LIGHT_PAPER}, {1}, 1};

struct rgb light_paper(const struct light_field *field)
{
    return light_of(field, &paper_row);
}

static double variance_of(const struct light_row *row, const double *covariance)
{
    double variance = 0;

    for (int i = 0; i < row->count; i++)
        for (int j = 0; j < row->count; j++)
            variance += row->factor[i] * row->factor[j] *
                        covariance[row->unknown[i] * N + row->unknown[j]];
    return variance;
}

static void covariance_of(const struct light_field *field, const struct light_row *row,
                          double covariance[9])
{
    double parts[9] = {0};

    parts[0] = variance_of(row, field->level_covariance);
    parts[4] = parts[8] = variance_of(row, field->tint_covariance);
    parts[5] = parts[7] = parts[4] / 2; /* both tints are over the same green */
    parts[0] += parts[0] > 0 ? SHAPE_DEVIATION * SHAPE_DEVIATION : 0;
    linear_carry_3x3(channels_from_parts, parts, covariance);
}

void light_covariance(const struct light_field *field, struct point at, double covariance[9])
{
    struct light_row row = light_row_of_field(field, at);

    covariance_of(field, &row, covariance);
}

void light_paper_covariance(const struct light_field *field, double covariance[9])
{
    covariance_of(field, &paper_row, covariance);
}
