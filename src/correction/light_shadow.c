#include "light_shadow.h"

#include "base/memory.h"
#include "values/angle.h"
#include "values/linear.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define N LIGHT_UNKNOWNS

/* The edges tried first: so many ways, distances and widths. */
#define WAYS 16
#define DISTANCES 19
#define DISTANCE_MAX 0.9
static const double half_widths[] = {0.05, 0.14};

/* Then the best is moved by these steps, halved when none gains. */
#define STEP_ANGLE 0.1
#define STEP_DISTANCE 0.05
#define STEP_WIDTH 0.4 /* of its logarithm */
#define STEP_BEND 0.2
#define PART_MIN 0.05
#define ROUNDS_MAX 30
#define WALK_MAX 10
#define WIDTH_MIN 0.015
#define WIDTH_MAX 0.25
#define BEND_MAX 0.5

/* Log evidence that an edge must add: there are thousands to choose from, and desks have seams. */
#define GAIN_MIN 11.0

/* What is usual of edges: nearly straight, and so wide (standard deviations). */
#define BEND_USUAL 0.12
#define WIDTH_USUAL 0.09
#define LOG_WIDTH_DEVIATION 0.6

enum { ANGLE, DISTANCE, LOG_WIDTH, BEND, EDGE_UNKNOWNS };

/* A sample, and how far along an edge's normal it lies. */
struct along {
    double across;
    size_t sample;
};

struct search {
    const struct light_part *level;
    struct point *places;
    struct along *order;
    double *residual; /* of the smooth field */
    double *inverse;  /* of its normal matrix */
    double precision; /* of the shadow's depth beforehand */
};

static struct light_shadow shadow_of(const double edge[EDGE_UNKNOWNS])
{
    return (struct light_shadow){true,
                                 {cos(edge[ANGLE]), sin(edge[ANGLE])},
                                 edge[DISTANCE],
                                 exp(edge[LOG_WIDTH]),
                                 edge[BEND]};
}

/* What an edge's shape takes off its evidence. */
static double unusual(const double edge[EDGE_UNKNOWNS])
{
    double wide = (edge[LOG_WIDTH] - log(WIDTH_USUAL)) / LOG_WIDTH_DEVIATION;
    double bent = edge[BEND] / BEND_USUAL;

    return (wide * wide + bent * bent) / 2;
}

/* The column that an edge adds to the equations: what it is worth, and how the field goes along. */
struct column {
    double own, score;
    double carried[N];
};

static void add_sample(const struct search *search, size_t i, double depth, struct column *column)
{
    double weighted = depth * search->level->weight[i];
    const struct light_row *row = &search->level->rows[i];

    if (weighted == 0)
        return;
    column->own += weighted * depth;
    column->score += weighted * search->residual[i];
    for (int j = 0; j < row->count; j++)
        column->carried[row->unknown[j]] += weighted * row->factor[j];
}

/*
 * The log evidence that an edge adds: the squared score of its column, over what is left of
 * the column when all that the smooth field can take up is taken away.
 */
static double gain_of_column(const struct search *search, const struct column *column,
                             const double edge[EDGE_UNKNOWNS])
{
    const double *carried = column->carried;
    double own = column->own, score = column->score;

    for (int i = 0; i < N; i++)
        for (int j = 0; carried[i] != 0 && j < N; j++)
            own -= carried[i] * carried[j] * search->inverse[i * N + j];
    own = fmax(own, 0);
    return (score * score / (own + search->precision) - log(1 + own / search->precision)) / 2 -
           unusual(edge);
}

static double gain_of(const struct search *search, const double edge[EDGE_UNKNOWNS])
{
    struct light_shadow shadow = shadow_of(edge);
    struct column column = {0};

    for (size_t i = 0; i < search->level->scene->count; i++)
        add_sample(search, i, light_shadow_depth(&shadow, search->places[i]), &column);
    return gain_of_column(search, &column, edge);
}

static int deepest_first(const void *a, const void *b)
{
    double left = ((const struct along *)a)->across, right = ((const struct along *)b)->across;

    return (left < right) - (left > right);
}

/* The samples in the order in which a straight edge that comes nearer lays them in shadow. */
static void order_along(const struct search *search, struct point normal)
{
    for (size_t i = 0; i < search->level->scene->count; i++)
        search->order[i] =
            (struct along){search->places[i].x * normal.x + search->places[i].y * normal.y, i};
    qsort(search->order, search->level->scene->count, sizeof *search->order, deepest_first);
}

/* Try all distances of one way and width, the farthest first: samples that lie whole in shadow stay
 * so, and only those within the edge are added up anew. */
static void try_distances(const struct search *search, double edge[EDGE_UNKNOWNS],
                          double best[EDGE_UNKNOWNS], double *gain)
{
    const size_t count = search->level->scene->count;
    const struct along *order = search->order;
    const double half_width = exp(edge[LOG_WIDTH]);
    struct column whole = {0};
    size_t next = 0;

    for (int i = DISTANCES - 1; i >= 0; i--) {
        struct light_shadow shadow;
        struct column column;
        double trial;

        edge[DISTANCE] = DISTANCE_MAX * (2.0 * i / (DISTANCES - 1) - 1);
        shadow = shadow_of(edge);
        for (; next < count && order[next].across - edge[DISTANCE] >= half_width; next++)
            add_sample(search, order[next].sample, 1, &whole);
        column = whole;
        for (size_t j = next; j < count && order[j].across - edge[DISTANCE] > -half_width; j++)
            add_sample(search, order[j].sample,
                       light_shadow_depth(&shadow, search->places[order[j].sample]), &column);
        trial = gain_of_column(search, &column, edge);
        if (trial > *gain) {
            *gain = trial;
            memcpy(best, edge, EDGE_UNKNOWNS * sizeof *best);
        }
    }
}

static void try_all(const struct search *search, double best[EDGE_UNKNOWNS], double *gain)
{
    for (int way = 0; way < WAYS; way++) {
        double edge[EDGE_UNKNOWNS] = {[ANGLE] = ANGLE_PI * way / WAYS};

        order_along(search, (struct point){cos(edge[ANGLE]), sin(edge[ANGLE])});
        for (size_t w = 0; w < sizeof half_widths / sizeof *half_widths; w++) {
            edge[LOG_WIDTH] = log(half_widths[w]);
            try_distances(search, edge, best, gain);
        }
    }
}

static void keep_within(double edge[EDGE_UNKNOWNS])
{
    edge[LOG_WIDTH] = fmin(fmax(edge[LOG_WIDTH], log(WIDTH_MIN)), log(WIDTH_MAX));
    edge[BEND] = fmin(fmax(edge[BEND], -BEND_MAX), BEND_MAX);
}

/* Step one unknown one way for as long as that gains. */
static bool walk(const struct search *search, int unknown, double step, double best[EDGE_UNKNOWNS],
                 double *gain)
{
    bool gained = false;

    for (int taken = 0; taken < WALK_MAX; taken++) {
        double trial[EDGE_UNKNOWNS], trial_gain;

        memcpy(trial, best, sizeof trial);
        trial[unknown] += step;
        keep_within(trial);
        trial_gain = gain_of(search, trial);
        if (trial_gain <= *gain)
            break;
        gained = true;
        *gain = trial_gain;
        memcpy(best, trial, sizeof trial);
    }
    return gained;
}

static void refine(const struct search *search, double best[EDGE_UNKNOWNS], double *gain)
{
    static const double steps[EDGE_UNKNOWNS] = {STEP_ANGLE, STEP_DISTANCE, STEP_WIDTH, STEP_BEND};
    double part = 1;

    for (int round = 0; round < ROUNDS_MAX && part > PART_MIN; round++) {
        bool gained = false;

        for (int k = 0; k < EDGE_UNKNOWNS; k++)
            gained = walk(search, k, part * steps[k], best, gain) ||
                     walk(search, k, -part * steps[k], best, gain) || gained;
        part *= gained ? 1 : 0.5;
    }
}

static enum status prepare(struct light_part *level, const struct light_field *field,
                           struct search *search, struct error *error)
{
    size_t count = level->scene->count;
    enum status status;

    search->places = memory_array(count, sizeof *search->places, "a shadow", error);
    search->order = memory_array(count, sizeof *search->order, "a shadow", error);
    search->residual = memory_array(count + N * N, sizeof *search->residual, "a shadow", error);
    if (!search->places || !search->order || !search->residual)
        return error->status;
    search->inverse = search->residual + count;
    status = light_part_settle(field, level, search->residual, search->inverse, error);
    for (size_t i = 0; i < count; i++)
        search->places[i] = light_own_place(field, level->scene->samples[i].at);
    search->precision = 1 / (LIGHT_SHADOW_DEPTH * LIGHT_SHADOW_DEPTH);
    return status;
}

enum status light_shadow_find(struct light_part *level, struct light_field *field,
                              struct error *error)
{
    struct search search = {.level = level};
    double edge[EDGE_UNKNOWNS] = {0}, gain = 0;
    enum status status = prepare(level, field, &search, error);

    field->shadow.found = false;
    if (!status) {
        try_all(&search, edge, &gain);
        refine(&search, edge, &gain);
    }
    if (!status && gain > GAIN_MIN)
        field->shadow = shadow_of(edge);
    free(search.places);
    free(search.order);
    free(search.residual);
    return status;
}
