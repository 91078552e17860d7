#include "light.h"

#include "base/memory.h"
#include "light_part.h"
#include "light_shadow.h"
#include "values/linear.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define N LIGHT_UNKNOWNS
/* Of a card's size: a scene over which light changes by the usual amount. */
#define USUAL_SCENE 3.0
#define LEAST_CHANGE 0.25

/* How far the field reaches beyond the samples, as a part of their extent. */
#define MARGIN 0.12

/* A smooth field is itself an approximation. */
#define SHAPE_DEVIATION 0.002

/* Variance beyond the fit's own: shadows and curl that the prior does not think of, from rendered
 * photos in hard light. */
#define UNTHOUGHT_OF 8.0

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

/* Half the diagonal of the box around the samples of a surface, 0 for none; and its middle. */
static double extent_of(const struct light_scene *scene, enum light_surface surface,
                        struct point *middle)
{
    struct point low = {INFINITY, INFINITY}, high = {-INFINITY, -INFINITY};

    for (size_t i = 0; i < scene->count; i++)
        if (scene->samples[i].surface == surface)
            widen(scene->samples[i].at, &low, &high);
    if (!(high.x > low.x || high.y > low.y))
        return 0;
    *middle = point_between(low, high, 0.5);
    return point_distance(low, high) / 2;
}

/* Light changes less over a card than over all of a scene. */
static double usual_change(const struct light_scene *scene, const struct light_field *field)
{
    struct point ignored;
    double card_px = extent_of(scene, LIGHT_CARD, &ignored);
    double share = point_distance(field->low, field->high) / 2 / (USUAL_SCENE * card_px);

    return card_px > 0 ? fmin(fmax(share, LEAST_CHANGE), 1) : 1;
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
    field->sheet_px = extent_of(scene, LIGHT_PAPER, &field->sheet_centre);
    field->change = usual_change(scene, field);
}

/* --- fitting --- */

/* The logarithms of level, red over green and blue over green. */
static void parts_of(const struct light_field *field, const struct light_row *row, double parts[3])
{
    memset(parts, 0, 3 * sizeof *parts);
    for (int i = 0; i < row->count; i++) {
        parts[0] += row->factor[i] * field->level[row->unknown[i]];
        parts[1] += row->factor[i] * field->tint[row->unknown[i]][0];
        parts[2] += row->factor[i] * field->tint[row->unknown[i]][1];
    }
}

static void make_rows(const struct light_scene *scene, const struct light_field *field,
                      struct light_row *rows)
{
    for (size_t i = 0; i < scene->count; i++)
        rows[i] = light_row_of_surface(field, scene->samples[i].at, scene->samples[i].surface);
}

/* A shadow is looked for once the card can tell: paper and desk alone would mistake seams. */
static enum status find_shadow(const struct light_scene *scene, struct light_row *rows,
                               struct light_field *field, struct error *error)
{
    struct light_part level = {0};
    enum status status;

    make_rows(scene, field, rows);
    if (!scene->paper.known)
        return STATUS_OK;
    status = light_part_create(scene, rows, 1, &level, error);
    if (!status)
        status = light_shadow_find(&level, field, error);
    light_part_release(&level);
    if (!status && field->shadow.found)
        make_rows(scene, field, rows);
    return status;
}

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

/* Make the light at the centre 1 to the last digit: the splines add up to 1 everywhere. */
static void level_out(struct point centre, struct light_field *field)
{
    struct light_row row = light_row_of_field(field, centre);
    double parts[3] = {0, 0, 0};

    parts_of(field, &row, parts);
    for (int i = 0; i < LIGHT_GRID; i++) {
        field->level[i] -= parts[0];
        field->tint[i][0] -= parts[1];
        field->tint[i][1] -= parts[2];
    }
}

enum status light_fit(const struct light_scene *scene, struct light_field *field,
                      struct error *error)
{
    struct light_row *rows = memory_array(scene->count, sizeof *rows, "the light field", error);
    enum status status;

    if (!rows)
        return error->status;
    light_even(field);
    field->centre = scene->centre;
    place_field(scene, field);
    status = find_shadow(scene, rows, field, error);
    if (!status)
        status = fit_parts(scene, rows, field, error);
    level_out(scene->centre, field);
    free(rows);
    return status;
}

/* --- reading it --- */

/* From level, red over green and blue over green to the channels, between logarithms. */
static const double channels_from_parts[9] = {1,        2 / 3.0, -1 / 3.0, 1,      -1 / 3.0,
                                              -1 / 3.0, 1,       -1 / 3.0, 2 / 3.0};

static struct rgb light_of(const struct light_field *field, const struct light_row *row)
{
    double parts[3];
    struct rgb light;

    parts_of(field, row, parts);
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
            variance +=
                row->factor[i] * row->factor[j] * covariance[row->unknown[i] * N + row->unknown[j]];
    return variance;
}

static void covariance_of(const struct light_field *field, const struct light_row *row,
                          double covariance[9])
{
    double parts[9] = {0};

    parts[0] = UNTHOUGHT_OF * variance_of(row, field->level_covariance);
    parts[4] = parts[8] = UNTHOUGHT_OF * variance_of(row, field->tint_covariance);
    parts[5] = parts[7] = parts[4] / 2; /* both tints are over the same green */
    parts[0] += parts[0] > 1e-10 ? SHAPE_DEVIATION * SHAPE_DEVIATION : 0;
    linear_carry_3x3(channels_from_parts, parts, covariance);
}

void light_covariance(const struct light_field *field, struct point at, double covariance[9])
{
    struct light_row row = light_row_between(field, at, field->centre);

    covariance_of(field, &row, covariance);
}

void light_paper_covariance(const struct light_field *field, double covariance[9])
{
    covariance_of(field, &paper_row, covariance);
}
