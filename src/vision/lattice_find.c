#include "vision/lattice.h"

#include "base/memory.h"
#include "lattice_growth.h"

#include <math.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

#define NODES_MIN 6
#define NEIGHBOURS 12 /* of a seed that are tried as lattice steps */
#define SUPPORT_MIN 4 /* of its 8 surrounding places that must hold a region */
#define ANGLE_SINE_MIN 0.6
#define STEP_RATIO_MAX 3.2
#define ATTEMPTS_MAX 600
#define NEAT_COMPACTNESS 0.88
#define SAME_PLACE 0.25 /* of a place: how far off its middle a seed still holds it */
#define SAME_STEP 0.25  /* of a step */

struct neighbour {
    size_t region;
    double distance;
};

/* Insert into a list kept sorted, nearest first; the farthest falls off a full list. */
static size_t insert_nearest(struct neighbour nearest[NEIGHBOURS], size_t count,
                             struct neighbour neighbour)
{
    size_t i = count < NEIGHBOURS ? count : NEIGHBOURS - 1;

    if (count == NEIGHBOURS && neighbour.distance >= nearest[i].distance)
        return count;
    for (; i > 0 && nearest[i - 1].distance > neighbour.distance; i--)
        nearest[i] = nearest[i - 1];
    nearest[i] = neighbour;
    return count < NEIGHBOURS ? count + 1 : count;
}

/* Lengths and angles as they are on the sheet, as far as the shape of one region tells: it is as
 * askew, seen from aside, as its lattice. A square's side is 1. */
struct metric {
    double xx, xy, yy;
};

static struct metric metric_of(const struct region *region)
{
    double determinant = region->xx * region->yy - region->xy * region->xy;
    double scale = 1 / (12 * determinant);

    return (struct metric){region->yy * scale, -region->xy * scale, region->xx * scale};
}

static double length_by(const struct metric *metric, struct point step)
{
    return sqrt(metric->xx * step.x * step.x + 2 * metric->xy * step.x * step.y +
                metric->yy * step.y * step.y);
}

static double cross_by(const struct metric *metric, struct point a, struct point b)
{
    return sqrt(metric->xx * metric->yy - metric->xy * metric->xy) * point_cross(a, b);
}

/* The nearest regions of like size, nearest first. */
static size_t neighbours_of(const struct regions *regions, size_t seed,
                            struct neighbour nearest[NEIGHBOURS])
{
    const struct region *here = &regions->items[seed];
    struct metric metric = metric_of(here);
    size_t count = 0;

    for (size_t i = 0; i < regions->count; i++) {
        double distance =
            length_by(&metric, point_subtract(regions->items[i].centre, here->centre));

        if (i != seed && distance < LATTICE_STEP_MAX && distance > LATTICE_STEP_MIN &&
            lattice_like_size(&regions->items[i], here))
            count = insert_nearest(nearest, count, (struct neighbour){i, distance});
    }
    return count;
}

static bool is_basis(const struct metric *metric, struct point u, struct point v)
{
    double a = length_by(metric, u), b = length_by(metric, v);

    return cross_by(metric, u, v) > ANGLE_SINE_MIN * a * b && a < STEP_RATIO_MAX * b &&
           b < STEP_RATIO_MAX * a;
}

static int support_of(const struct regions *regions, size_t seed, struct point u, struct point v)
{
    const struct region *here = &regions->items[seed];
    double tolerance = LATTICE_TOLERANCE * fmin(hypot(u.x, u.y), hypot(v.x, v.y));
    int support = 0;

    for (int i = -1; i <= 1; i++)
        for (int j = -1; j <= 1; j++) {
            struct point at =
                point_add(here->centre, point_add(point_scale(u, i), point_scale(v, j)));

            if ((i || j) && lattice_nearest(regions, at, here, tolerance) < regions->count)
                support++;
        }
    return support;
}

/* Shorten `step` by whole `other` steps; true when that made it clearly shorter. */
static bool shorten(const struct metric *metric, struct point *step, struct point other)
{
    struct point plus = point_add(*step, other);
    struct point minus = point_subtract(*step, other);
    struct point best = length_by(metric, plus) < length_by(metric, minus) ? plus : minus;

    if (length_by(metric, best) > 0.95 * length_by(metric, *step))
        return false;
    *step = best;
    return true;
}

/* The shortest pair of steps that spans the same lattice, so that rows never run askew; u the one
 * that runs rightwards, v clockwise of it. */
static void reduce_basis(const struct metric *metric, struct lattice_basis *basis)
{
    struct point u = basis->u, v = basis->v, swap;

    while (shorten(metric, &v, u) || shorten(metric, &u, v))
        ;
    if (fabs(u.x) * hypot(v.x, v.y) < fabs(v.x) * hypot(u.x, u.y)) {
        swap = u;
        u = v;
        v = swap;
    }
    basis->u = u.x < 0 ? point_scale(u, -1) : u;
    basis->v = point_cross(basis->u, v) < 0 ? point_scale(v, -1) : v;
}

/* The best supported pair of steps from a seed; among equals the shortest. */
static bool find_basis(const struct regions *regions, size_t seed, struct lattice_basis *basis)
{
    struct neighbour nearest[NEIGHBOURS];
    struct metric metric = metric_of(&regions->items[seed]);
    size_t count = neighbours_of(regions, seed, nearest);
    struct point centre = regions->items[seed].centre;
    double best = -INFINITY;

    *basis = (struct lattice_basis){seed, {1, 0}, {0, 1}};
    for (size_t i = 0; i < count; i++)
        for (size_t j = 0; j < count; j++) {
            struct point u = point_subtract(regions->items[nearest[i].region].centre, centre);
            struct point v = point_subtract(regions->items[nearest[j].region].centre, centre);
            double length =
                (length_by(&metric, u) + length_by(&metric, v)) / (2 * LATTICE_STEP_MAX);
            double score;
            int support;

            if (u.x < fabs(u.y) ||
                !is_basis(&metric, u, v)) /* each basis once: u the rightward step */
                continue;
            support = support_of(regions, seed, u, v);
            score = support - 2 * length;
            if (support >= SUPPORT_MIN && score > best) {
                best = score;
                *basis = (struct lattice_basis){seed, u, v};
            }
        }
    reduce_basis(&metric, basis);
    return best > -INFINITY;
}

/* Put one more lattice behind the others; they take over its nodes, if that succeeds. */
static enum status add(struct lattices *lattices, const struct lattice *lattice,
                       struct error *error)
{
    if (lattices->count == lattices->capacity) {
        struct lattice *grown =
            memory_grow(lattices->items, &lattices->capacity, sizeof *grown, "lattices", error);
        if (!grown)
            return error->status;
        lattices->items = grown;
    }
    lattices->items[lattices->count++] = *lattice;
    return STATUS_OK;
}

static double inked_area(const struct lattice *lattice)
{
    double sum = 0;

    for (size_t i = 0; i < lattice->count; i++)
        sum += lattice->nodes[i].region.area_px;
    return sum;
}

static int by_inked_area(const void *a, const void *b)
{
    double left = inked_area(a), right = inked_area(b);

    return (left < right) - (left > right);
}

/* A region that may start a lattice. */
struct seed {
    size_t region;
    double rank;
};

static int by_rank(const void *a, const void *b)
{
    double left = ((const struct seed *)a)->rank;
    double right = ((const struct seed *)b)->rank;

    return (left < right) - (left > right);
}

/* The regions, the largest of the neat ones first: patches and cells before the desk's texture. */
static struct seed *seeds_of(const struct regions *regions, struct error *error)
{
    struct seed *seeds = memory_array(regions->count, sizeof *seeds, "lattice seeds", error);

    for (size_t i = 0; seeds && i < regions->count; i++) {
        const struct region *region = &regions->items[i];
        bool neat = region->compactness > NEAT_COMPACTNESS;

        seeds[i] = (struct seed){i, neat ? region->area_px : region->compactness};
    }
    if (seeds && regions->count)
        qsort(seeds, regions->count, sizeof *seeds, by_rank);
    return seeds;
}

static bool same_step(struct point a, struct point b)
{
    return point_distance(a, b) < SAME_STEP * hypot(b.x, b.y);
}

/* Whether a lattice has a place at the seed, and the same steps there: it would only grow again. */
static bool would_repeat(const struct lattice *lattice, struct point seed,
                         const struct lattice_basis *basis)
{
    struct homography inverse = homography_invert(&lattice->map);
    struct point at = homography_apply(&inverse, seed);
    struct point right = {at.x + 1, at.y}, below = {at.x, at.y + 1};

    if (!(at.x > 0 && at.y > 0 && at.x < lattice->lines[AXIS_COLUMN] &&
          at.y < lattice->lines[AXIS_ROW]) ||
        fabs(at.x - floor(at.x) - 0.5) > SAME_PLACE || fabs(at.y - floor(at.y) - 0.5) > SAME_PLACE)
        return false;
    return same_step(point_subtract(homography_apply(&lattice->map, right), seed), basis->u) &&
           same_step(point_subtract(homography_apply(&lattice->map, below), seed), basis->v);
}

/* Regions may lie in several lattices: card and chart can lie so that one runs on into the other.
 */
static bool is_new(const struct lattices *lattices, struct point seed,
                   const struct lattice_basis *basis)
{
    for (size_t i = 0; i < lattices->count; i++)
        if (would_repeat(&lattices->items[i], seed, basis))
            return false;
    return true;
}

/* Grow from every region whose steps no lattice follows yet. */
static enum status grow_all(const struct regions *regions, const struct seed *seeds,
                            struct lattices *lattices, struct error *error)
{
    enum status status = STATUS_OK;
    int attempts = 0;

    for (size_t i = 0; !status && i < regions->count && attempts < ATTEMPTS_MAX; i++) {
        struct lattice_basis basis;
        struct lattice lattice = {0};

        if (!find_basis(regions, seeds[i].region, &basis) ||
            !is_new(lattices, regions->items[seeds[i].region].centre, &basis))
            continue;
        attempts++;
        status = lattice_grow(regions, &basis, &lattice, error);
        if (!status && lattice.count >= NODES_MIN)
            status = add(lattices, &lattice, error);
        else
            free(lattice.nodes);
    }
    return status;
}

enum status lattice_find_all(const struct regions *regions, struct lattices *lattices,
                             struct error *error)
{
    struct seed *seeds = seeds_of(regions, error);
    enum status status = seeds ? grow_all(regions, seeds, lattices, error) : error->status;

    free(seeds);
    if (!status && lattices->count)
        qsort(lattices->items, lattices->count, sizeof *lattices->items, by_inked_area);
    return status;
}
