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
    struct light_part level = {.card_aside = true}, tint = {.card_aside = true};
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

static double between(const struct light_row *row, const struct light_row *other,
                      const double *covariance)
{
    double sum = 0;

    for (int i = 0; i < row->count; i++)
        for (int j = 0; j < other->count; j++)
            sum += row->factor[i] * other->factor[j] *
                   covariance[row->unknown[i] * N + other->unknown[j]];
    return sum;
}

static void covariance_of(const struct light_field *field, const struct light_row *row,
                          double covariance[9])
{
    double parts[9] = {0};

    parts[0] = UNTHOUGHT_OF * between(row, row, field->level_covariance);
    parts[4] = parts[8] = UNTHOUGHT_OF * between(row, row, field->tint_covariance);
    parts[5] = parts[7] = parts[4] / 2; /* both tints are over the same green */
    parts[0] += parts[0] > 1e-10 ? SHAPE_DEVIATION * SHAPE_DEVIATION : 0;
    linear_carry_3x3(channels_from_parts, parts, covariance);
}

void light_covariance(const struct light_field *field, struct point at, double covariance[9])
{
    struct light_row row = light_row_between(field, at, field->centre);

    covariance_of(field, &row, covariance);
}

void light_covariance_between(const struct light_field *field, struct point at, struct point other,
                              double covariance[9])
{
    struct light_row row = light_row_of_field(field, at);
    struct light_row line = light_row_of_field(field, other);
    double parts[9] = {0};

    parts[0] = between(&row, &line, field->level_covariance);
    parts[4] = parts[8] = between(&row, &line, field->tint_covariance);
    parts[5] = parts[7] = parts[4] / 2;
    linear_carry_3x3(channels_from_parts, parts, covariance);
}

void light_paper_covariance(const struct light_field *field, double covariance[9])
{
    covariance_of(field, &paper_row, covariance);
}

/* --- what else tells of it --- */

/* One part of the field, and the news of it. */
struct part_news {
    const struct light_row *rows;
    int count;
    double looseness;
    double precision[LIGHT_NEWS_MAX * LIGHT_NEWS_MAX];
    double *spread; /* count x N: the covariance of the light at each place with all unknowns */
};

static void spread_rows(const double *covariance, struct part_news *news)
{
    for (int i = 0; i < news->count; i++)
        for (int p = 0; p < N; p++) {
            const struct light_row *row = &news->rows[i];
            double sum = 0;

            for (int j = 0; j < row->count; j++)
                sum += covariance[p * N + row->unknown[j]] * row->factor[j];
            news->spread[i * N + p] = sum;
        }
}

static void lessen(const struct part_news *news, double *covariance)
{
    for (int i = 0; i < N * N; i++)
        covariance[i] *= news->looseness;
    for (int i = 0; i < news->count; i++)
        for (int q = 0; q < N; q++) {
            double told = 0;

            for (int j = 0; j < news->count; j++)
                told += news->precision[i * news->count + j] * news->spread[j * N + q];
            for (int p = 0; p < N; p++)
                covariance[p * N + q] -= news->spread[i * N + p] * told;
        }
}

/* Channels are made of parts; so what is told of channels is told of parts, and both tints move
 * together by half, for they are over the same green. */
static void split_along(const double channels[3], double parts[3])
{
    double told[3] = {0, 0, 0};

    for (int k = 0; k < 9; k++)
        told[k % 3] += channels_from_parts[k] * channels[k / 3];
    parts[0] = told[0];
    parts[1] = told[1] + told[2] / 2;
    parts[2] = told[1] / 2 + told[2];
}

static void split_precision(const struct light_news *news, struct part_news *level,
                            struct part_news *tint)
{
    for (int i = 0; i < news->count; i++)
        for (int j = 0; j < news->count; j++) {
            double block[9], half[3][3] = {{0}}, told[3][3] = {{0}};

            for (int k = 0; k < 9; k++)
                block[k] = news->precision[(3 * i + k / 3) * 3 * news->count + 3 * j + k % 3];
            for (int k = 0; k < 27; k++) /* C' block C */
                half[k / 9][k % 3] +=
                    channels_from_parts[3 * (k / 3 % 3) + k / 9] * block[3 * (k / 3 % 3) + k % 3];
            for (int k = 0; k < 27; k++)
                told[k / 9][k % 3] +=
                    half[k / 9][k / 3 % 3] * channels_from_parts[3 * (k / 3 % 3) + k % 3];
            level->precision[i * news->count + j] = told[0][0];
            tint->precision[i * news->count + j] =
                0.625 * (told[1][1] + told[2][2]) + 0.5 * (told[1][2] + told[2][1]);
        }
}

static void move(const struct light_news *news, const struct part_news *level,
                 const struct part_news *tint, struct light_field *field)
{
    for (int i = 0; i < news->count; i++) {
        double parts[3];

        split_along(news->along + 3 * i, parts);
        for (int p = 0; p < N; p++) {
            field->level[p] += level->spread[i * N + p] * parts[0];
            field->tint[p][0] += tint->spread[i * N + p] * parts[1];
            field->tint[p][1] += tint->spread[i * N + p] * parts[2];
        }
    }
}

enum status light_hear(const struct light_news *news, struct light_field *field,
                       struct error *error)
{
    struct light_row rows[LIGHT_NEWS_MAX];
    struct part_news level = {.rows = rows, .count = news->count, .looseness = news->looseness};
    struct part_news tint = level;

    level.spread =
        memory_array(2 * (size_t)news->count * N, sizeof *level.spread, "the light field", error);
    if (!level.spread)
        return error->status;
    tint.spread = level.spread + news->count * N;
    for (int i = 0; i < news->count; i++)
        rows[i] = light_row_of_field(field, news->at[i]);
    spread_rows(field->level_covariance, &level);
    spread_rows(field->tint_covariance, &tint);
    split_precision(news, &level, &tint);
    move(news, &level, &tint, field);
    level_out(field->centre, field);
    lessen(&level, field->level_covariance);
    lessen(&tint, field->tint_covariance);
    free(level.spread);
    return STATUS_OK;
}
