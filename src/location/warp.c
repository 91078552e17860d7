#include "warp.h"

#include "base/memory.h"
#include "values/linear.h"

#include <math.h>
#include <stdlib.h>

#define NODES_FOR_QUADRATIC 14
#define NODES_FOR_CUBIC 30
#define ROUNDS 3
#define RIDGE 0.02     /* keeps a bend that the nodes do not show at nothing */
#define OFF_SCALE 0.04 /* of a region's side: past it a node's weight falls */

static void bend_terms(const struct warp *warp, struct point at, double terms[WARP_TERMS_MAX])
{
    double c = (at.x - warp->middle.x) / warp->reach;
    double r = (at.y - warp->middle.y) / warp->reach;
    const double all[WARP_TERMS_MAX] = {1,     c,         r,         c * c,     c * r,
                                        r * r, c * c * c, c * c * r, c * r * r, r * r * r};

    for (int i = 0; i < WARP_TERMS_MAX; i++)
        terms[i] = all[i];
}

struct point warp_apply(const struct warp *warp, struct point at)
{
    struct point plain = homography_apply(&warp->map, lattice_plane(warp->gaps, at));
    double terms[WARP_TERMS_MAX];

    bend_terms(warp, at, terms);
    for (int i = 0; i < warp->terms; i++) {
        plain.x += warp->bend[2 * i] * terms[i];
        plain.y += warp->bend[2 * i + 1] * terms[i];
    }
    return plain;
}

struct quad warp_box(const struct warp *warp, struct point top_left, struct point bottom_right)
{
    return (struct quad){{warp_apply(warp, top_left),
                          warp_apply(warp, (struct point){bottom_right.x, top_left.y}),
                          warp_apply(warp, bottom_right),
                          warp_apply(warp, (struct point){top_left.x, bottom_right.y})}};
}

static void fill_equations(const struct lattice *lattice, const struct warp *warp, double *design,
                           double *target)
{
    for (size_t i = 0; i < lattice->count; i++) {
        struct point at = lattice_node_middle(&lattice->nodes[i]);
        struct point off =
            point_subtract(lattice->nodes[i].region.centre,
                           homography_apply(&warp->map, lattice_plane(warp->gaps, at)));
        double terms[WARP_TERMS_MAX];

        bend_terms(warp, at, terms);
        for (int j = 0; j < warp->terms; j++)
            design[i * (size_t)warp->terms + (size_t)j] = terms[j];
        target[2 * i] = off.x;
        target[2 * i + 1] = off.y;
    }
}

static void weigh(const struct lattice *lattice, const struct warp *warp, double *weight)
{
    for (size_t i = 0; i < lattice->count; i++) {
        const struct region *region = &lattice->nodes[i].region;
        double off = point_distance(warp_apply(warp, lattice_node_middle(&lattice->nodes[i])),
                                    region->centre) /
                     (OFF_SCALE * sqrt(region->area_px));

        weight[i] = 1 / (1 + off * off);
    }
}

static enum status fit_bend(const struct lattice *lattice, double *buffer, struct warp *warp,
                            struct error *error)
{
    double *design = buffer;
    double *target = design + lattice->count * WARP_TERMS_MAX;
    double *weight = target + lattice->count * 2;
    double ridge[WARP_TERMS_MAX];
    struct linear_problem problem = {
        design, target, weight, ridge, lattice->count, (size_t)warp->terms, 2};
    enum status status = STATUS_OK;

    for (int i = 0; i < WARP_TERMS_MAX; i++)
        ridge[i] = RIDGE;
    fill_equations(lattice, warp, design, target);
    for (int round = 0; !status && round < ROUNDS; round++) {
        weigh(lattice, warp, weight);
        status = linear_least_squares(&problem, warp->bend, error);
    }
    return status;
}

enum status warp_fit(const struct lattice *lattice, struct warp *warp, struct error *error)
{
    int columns = lattice->lines[AXIS_COLUMN], rows = lattice->lines[AXIS_ROW];
    double *buffer;
    enum status status;

    *warp = (struct warp){.map = lattice->map,
                          .gaps = {lattice->gaps[AXIS_COLUMN], lattice->gaps[AXIS_ROW]},
                          .middle = {columns / 2.0, rows / 2.0},
                          .reach = fmax(columns, rows) / 2.0};
    if (lattice->count < NODES_FOR_QUADRATIC)
        return STATUS_OK;
    buffer = memory_array(lattice->count * (WARP_TERMS_MAX + 3), sizeof *buffer, "a bend", error);
    if (!buffer)
        return error->status;
    warp->terms = lattice->count < NODES_FOR_CUBIC ? 6 : WARP_TERMS_MAX;
    status = fit_bend(lattice, buffer, warp, error);
    free(buffer);
    if (status == STATUS_NOT_FOUND) { /* the nodes fix no bend: the plane has to do */
        warp->terms = 0;
        status = STATUS_OK;
    }
    return status;
}
