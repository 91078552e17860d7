#include "drying_curve.h"

#include "analysis/perceptual.h"
#include "base/memory.h"
#include "values/linear.h"
#include "values/statistics.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define TAUS 100           /* tried, each by so much longer than the one before */
#define SHORTEST_PART 0.3  /* of the time to the first change that can be seen */
#define LONGEST_SPANS 20.0 /* of the time the readings span: a straight line by then */
#define TAUS_FEW 8         /* from twice the readings' span down, each half of the one before */
#define UNLIKELY 10.83     /* squares above the best: a chance of 0.001 */

/* The fits at all the tau tried. */
struct profile {
    struct drying_solution at[TAUS + 1]; /* the last is the best, refined */
    const struct drying_solution *best;
    double allowed;  /* how far left_square may pass the best's within 95 % */
    double frame[9]; /* perceptual, at the dry end */
    double scale;    /* from its steps to delta E 2000 over the whole way */
};

/* --- trying tau ----------------------------------------------------------------------------- */

static enum status solve_at(const struct drying_point *points, size_t count, double tau_s,
                            struct drying_solution *solution, struct error *error)
{
    double *shapes = memory_array(count, sizeof *shapes, "a fit", error);
    enum status status;

    if (!shapes)
        return error->status;
    for (size_t i = 0; i < count; i++)
        shapes[i] = exp(-points[i].t_s / tau_s);
    status = drying_solve(points, count, shapes, solution, error);
    solution->tau_s = tau_s;
    free(shapes);
    return status;
}

/* The first time by which something can have changed. */
static double first_step_s(const struct drying_point *points, size_t count)
{
    for (size_t i = 0; i < count; i++)
        if (points[i].t_s > 0)
            return points[i].t_s;
    return 1;
}

/* The tau between three tried ones where a parabola through their squares is lowest. */
static double refined_tau(const struct drying_solution *middle)
{
    double before = middle[-1].left_square, here = middle->left_square,
           after = middle[1].left_square;
    double bend = before - 2 * here + after;
    double part = bend > 0 ? 0.5 * (before - after) / bend : 0;

    return middle->tau_s * pow(middle[1].tau_s / middle->tau_s, fmin(fmax(part, -1), 1));
}

static const struct drying_solution *lowest(const struct profile *profile, size_t count)
{
    const struct drying_solution *best = NULL;

    for (size_t i = 0; i < count; i++)
        if (profile->at[i].solved && (!best || profile->at[i].left_square < best->left_square))
            best = &profile->at[i];
    return best;
}

static enum status try_taus(const struct drying_point *points, size_t count, double shortest_s,
                            double longest_s, struct profile *profile, struct error *error)
{
    double step = pow(longest_s / shortest_s, 1.0 / (TAUS - 1));
    enum status status = STATUS_OK;

    for (int i = 0; !status && i < TAUS; i++)
        status = solve_at(points, count, shortest_s * pow(step, i), &profile->at[i], error);
    profile->best = status ? NULL : lowest(profile, TAUS);
    return status;
}

/* From the tau before the first that is likely to the one behind the last. */
static void likely_range(const struct profile *profile, double *shortest_s, double *longest_s)
{
    int first = (int)(profile->best - profile->at), last = first;

    for (int i = 0; i < TAUS; i++)
        if (profile->at[i].solved &&
            profile->at[i].left_square - profile->best->left_square < UNLIKELY) {
            first = i < first ? i : first;
            last = i > last ? i : last;
        }
    *shortest_s = profile->at[first > 0 ? first - 1 : 0].tau_s;
    *longest_s = profile->at[last + 1 < TAUS ? last + 1 : TAUS - 1].tau_s;
}

/* Try tau over all that can be told, then closely over what is likely. */
static enum status profile_fill(const struct drying_point *points, size_t count,
                                struct profile *profile, struct error *error)
{
    double span_s = fmin(points[count - 1].t_s - points[0].t_s, DRYING_DAY_S);
    double shortest_s = SHORTEST_PART * first_step_s(points, count);
    double longest_s = fmax(LONGEST_SPANS * span_s, 2 * shortest_s);
    enum status status = try_taus(points, count, shortest_s, longest_s, profile, error);

    if (status || !profile->best)
        return status;
    likely_range(profile, &shortest_s, &longest_s);
    status = try_taus(points, count, shortest_s, longest_s, profile, error);
    if (status || !profile->best)
        return status;
    if (profile->best > profile->at && profile->best < profile->at + TAUS - 1 &&
        profile->best[-1].solved && profile->best[1].solved)
        status = solve_at(points, count, refined_tau(profile->best), &profile->at[TAUS], error);
    profile->best = lowest(profile, TAUS + 1);
    profile->allowed = statistics_chi_square_limit(0.95, 1);
    return status;
}

enum status drying_curve_left(const struct drying_point *points, size_t count, double *left_square,
                              struct error *error)
{
    double span_s = points[count - 1].t_s - points[0].t_s;
    enum status status = STATUS_OK;

    *left_square = 0;
    for (int i = 0; !status && i < TAUS_FEW; i++) {
        struct drying_solution solution;

        status = solve_at(points, count, span_s / pow(2, i - 1), &solution, error);
        if (!status && solution.solved &&
            (!(*left_square > 0) || solution.left_square < *left_square))
            *left_square = solution.left_square;
    }
    return status;
}

/* --- intervals ------------------------------------------------------------------------------ */

/* How much of the allowance a tau leaves for the other unknowns, in deviations; < 0: not allowed.
 */
static double room_at(const struct profile *profile, const struct drying_solution *solution)
{
    double used = solution->left_square - profile->best->left_square;

    return !solution->solved || used > profile->allowed ? -1 : sqrt(profile->allowed - used);
}

static void widen(struct drying_figure *figure, double low, double high)
{
    figure->low = fmin(figure->low, low);
    figure->high = fmax(figure->high, high);
}

/* Between a tau that is allowed and its neighbour that is not: where the allowance ends. */
static double edge_of(const struct profile *profile, const struct drying_solution *inside,
                      const struct drying_solution *outside)
{
    double within = inside->left_square - profile->best->left_square;
    double without = outside->left_square - profile->best->left_square;
    double part = (profile->allowed - within) / fmax(without - within, 1e-9);

    return inside->tau_s * pow(outside->tau_s / inside->tau_s, fmin(part, 1));
}

static struct drying_figure tau_figure(const struct profile *profile)
{
    double best_s = profile->best->tau_s;
    struct drying_figure tau = {best_s, best_s, best_s};

    for (int i = 0; i < TAUS; i++) {
        const struct drying_solution *here = &profile->at[i];

        if (room_at(profile, here) < 0)
            continue;
        widen(&tau, here->tau_s, here->tau_s);
        if (i > 0 && here[-1].solved && room_at(profile, here - 1) < 0)
            widen(&tau, edge_of(profile, here, here - 1), here->tau_s);
        if (i + 1 < TAUS && here[1].solved && room_at(profile, here + 1) < 0)
            widen(&tau, here->tau_s, edge_of(profile, here, here + 1));
    }
    if (room_at(profile, &profile->at[TAUS - 1]) >= 0)
        tau.high = INFINITY;
    if (room_at(profile, &profile->at[0]) >= 0)
        tau.low = 0;
    return tau;
}

static struct drying_figure dry_figure(const struct profile *profile, int axis)
{
    double best = profile->best->unknowns[axis];
    struct drying_figure figure = {best, best, best};

    for (int i = 0; i <= TAUS; i++) {
        const struct drying_solution *here = &profile->at[i];
        double room = room_at(profile, here);
        double half = room < 0 ? 0 : room * sqrt(here->covariance[7 * axis]);

        if (room >= 0)
            widen(&figure, here->unknowns[axis] - half, here->unknowns[axis] + half);
    }
    return figure;
}

/* The way from wet to dry at one tau, as seen, and its deviation along itself. */
static double way_at(const struct profile *profile, const struct drying_solution *solution,
                     double *deviation)
{
    double way[3], covariance[9], carried[9], turned[3], square = 0, along = 0;

    linear_apply_3x3(profile->frame, solution->unknowns + 3, way);
    for (int i = 0; i < 9; i++)
        covariance[i] = solution->covariance[(3 + i / 3) * 6 + 3 + i % 3];
    linear_carry_3x3(profile->frame, covariance, carried);
    linear_apply_3x3(carried, way, turned);
    for (int i = 0; i < 3; i++) {
        square += way[i] * way[i];
        along += way[i] * turned[i];
    }
    *deviation = square > 0 ? profile->scale * sqrt(along / square) : 0;
    return profile->scale * sqrt(square);
}

/* When a way has shrunk to the noise. */
static double settled_after(double tau_s, double way, double noise)
{
    return way > noise ? tau_s * log(way / noise) : 0;
}

static void set_way(const struct profile *profile, struct drying *drying)
{
    double deviation, way = way_at(profile, profile->best, &deviation);
    double settled_s = settled_after(profile->best->tau_s, way, drying->noise);

    drying->moved = (struct drying_figure){way, way, way};
    drying->settled_s = (struct drying_figure){settled_s, settled_s, settled_s};
    for (int i = 0; i <= TAUS; i++) {
        const struct drying_solution *here = &profile->at[i];
        double room = room_at(profile, here), half;

        if (room < 0)
            continue;
        way = way_at(profile, here, &deviation);
        half = room * deviation;
        widen(&drying->moved, fmax(way - half, 0), way + half);
        widen(&drying->settled_s, settled_after(here->tau_s, way - half, drying->noise),
              settled_after(here->tau_s, way + half, drying->noise));
    }
    if (isinf(drying->tau_s.high))
        drying->moved.high = drying->settled_s.high = INFINITY;
}

/* --- the ends ------------------------------------------------------------------------------- */

/* The dry end's covariance: at each tau, and as it moves with tau, each counting by its odds. */
static void set_dry_covariance(const struct profile *profile, double covariance[9])
{
    double mean[3] = {0}, weights = 0;

    memset(covariance, 0, 9 * sizeof *covariance);
    for (int pass = 0; pass < 2; pass++)
        for (int i = 0; i < TAUS; i++) {
            const struct drying_solution *here = &profile->at[i];
            double odds =
                here->solved ? exp((profile->best->left_square - here->left_square) / 2) : 0;

            weights += pass == 0 ? odds : 0;
            for (int j = 0; pass == 0 && j < 3; j++)
                mean[j] += odds * here->unknowns[j];
            for (int j = 0; pass == 1 && j < 9; j++)
                covariance[j] += odds / weights *
                                 (here->covariance[j / 3 * 6 + j % 3] +
                                  (here->unknowns[j / 3] - mean[j / 3] / weights) *
                                      (here->unknowns[j % 3] - mean[j % 3] / weights));
        }
}

static void set_ends(const struct drying_solution *best, struct drying *drying)
{
    const double *unknowns = best->unknowns;

    drying->dry = (struct lab){unknowns[0], unknowns[1], unknowns[2]};
    drying->wet = (struct lab){unknowns[0] + unknowns[3], unknowns[1] + unknowns[4],
                               unknowns[2] + unknowns[5]};
}

static void set_frame(const struct drying *drying, struct profile *profile)
{
    double deviation, way;

    perceptual_frame(drying->dry, profile->frame);
    profile->scale = 1;
    way = way_at(profile, profile->best, &deviation);
    if (way > 1)
        profile->scale = colour_delta_e_2000(drying->wet, drying->dry) / way;
}

static enum drying_state state_of(const struct drying *drying)
{
    if (drying->last_s < drying->settled_s.value)
        return DRYING_WET;
    return drying->last_s < drying->settled_s.high ? DRYING_UNSURE : DRYING_SETTLED;
}

enum status drying_curve_fit(const struct drying_point *points, size_t count, struct drying *drying,
                             double *left_square, struct error *error)
{
    struct profile *profile = memory_array(1, sizeof *profile, "a fit", error);
    enum status status = profile ? STATUS_OK : error->status;

    *left_square = INFINITY;
    if (!status)
        status = profile_fill(points, count, profile, error);
    if (!status && profile->best) {
        *left_square = profile->best->left_square;
        drying->fitted = true;
        set_ends(profile->best, drying);
        set_frame(drying, profile);
        drying->tau_s = tau_figure(profile);
        for (int axis = 0; axis < 3; axis++)
            drying->dry_axis[axis] = dry_figure(profile, axis);
        set_dry_covariance(profile, drying->covariance_dry);
        set_way(profile, drying);
        if (drying->state != DRYING_FADING)
            drying->state = state_of(drying);
    }
    free(profile);
    return status;
}
