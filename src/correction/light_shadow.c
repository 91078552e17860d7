#include "light_shadow.h"

#include "base/memory.h"
#include "values/linear.h"
#include "values/angle.h"

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

struct search {
    const struct light_part *level;
    struct point *places;
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

/*
 * The log evidence that an edge adds: the squared score of its column, over what is left of
 * the column when all that the smooth field can take up is taken away.
 */
static double gain_of(const struct search *search, const double edge[EDGE_UNKNOWNS])
{
    const struct light_part *level = search->level;
    struct light_shadow shadow = shadow_of(edge);
    double carried[N] = {0}, own = 0, score = 0;

    for (size_t i = 0; i < level->scene->count; i++) {
        double depth = light_shadow_depth(&shadow, search->places[i]);
        double weighted = depth * level->weight[i];
        const struct light_row *row = &level->rows[i];

        if (weighted == 0)
            continue;
        own += weighted * depth;
        score += weighted * search->residual[i];
        for (int j = 0; j < row->count; j++)
            carried[row->unknown[j]] += weighted * row->factor[j];
    }
    for (int i = 0; i < N; i++)
        for (int j = 0; carried[i] != 0 && j < N; j++)
            own -= carried[i] * carried[j] * search->inverse[i * N + j];
    own = fmax(own, 0);
    return (score * score / (own + search->precision) - log(1 + own / search->precision)) / 2 -
           unusual(edge);
}

static void try_all(const struct search *search, double best[EDGE_UNKNOWNS], double *gain)
{
    for (int way = 0; way < WAYS; way++)
        for (int i = 0; i < DISTANCES; i++)
            for (size_t w = 0; w < sizeof half_widths / sizeof *half_widths; w++) {
                const double edge[EDGE_UNKNOWNS] = {ANGLE_PI * way / WAYS,
                                                    DISTANCE_MAX * (2.0 * i / (DISTANCES - 1) - 1),
                                                    log(half_widths[w]), 0};
                double trial = gain_of(search, edge);

                if (trial > *gain) {
                    *gain = trial;
                    memcpy(best, edge, sizeof edge);
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
    search->residual = memory_array(count + N * N, sizeof *search->residual, "a shadow", error);
    if (!search->places || !search->residual)
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
    free(search.residual);
    return status;
}
