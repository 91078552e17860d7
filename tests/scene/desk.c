#include "desk.h"

#include "basics.h"
#include "inks.h"
#include "noise.h"

#include <math.h>

#include <gsl/gsl_randist.h>

/* A smooth ramp of reflectance that rises by `rise` about `edge_nm`. */
static struct response see_ramp(const struct receptor *receptor, double base, double rise,
                                double edge_nm)
{
    struct spectrum ramp;

    for (int i = 0; i < BANDS; i++)
        ramp.at[i] = base + rise * falling_edge(edge_nm - spectrum_nm(i), 38.0);
    return receptor_see(receptor, &ramp);
}

struct desk_top desk_make(int kind, double grain_degrees, const struct receptor *receptor)
{
    static const struct {
        double base, rise, edge_nm;
    } ramps[DESKS][2] = {
        [DESK_OAK] = {{0.16, 0.36, 545}, {0.09, 0.24, 560}},
        [DESK_WALNUT] = {{0.06, 0.14, 575}, {0.03, 0.08, 590}},
        [DESK_LAMINATE] = {{0.30, 0.02, 560}, {0.26, 0.02, 560}},
        [DESK_MAT] = {{0.10, -0.05, 585}, {0.32, -0.06, 585}},
        [DESK_WHITE] = {{0.66, 0.05, 480}, {0.62, 0.05, 480}},
        [DESK_CLOTH] = {{0.13, 0.02, 620}, {0.08, 0.01, 620}},
    };
    struct desk_top desk = {
        .kind = kind,
        .grain = plate_make((struct point){31.0, 47.0}, grain_degrees, 0.0, 0.0, 0.0)};

    desk.ground =
        see_ramp(receptor, ramps[kind][0].base, ramps[kind][0].rise, ramps[kind][0].edge_nm);
    desk.figure =
        see_ramp(receptor, ramps[kind][1].base, ramps[kind][1].rise, ramps[kind][1].edge_nm);
    return desk;
}

/* Planks 140 mm wide, with grain along x that bends around. */
static double wood_figure(struct point place)
{
    double plank = floor(place.y / 140.0);
    double bend = 9.0 * noise_smooth(place.x / 160.0, place.y / 60.0 + plank * 7.3, 31u);
    double ring = noise_smooth(place.x / 400.0 + plank * 3.1, (place.y + bend) / 5.5, 32u);
    double fibre = noise_smooth(place.x / 22.0, place.y / 0.7, 33u);
    double gap = fabs(place.y / 140.0 - plank - 0.5) > 0.4955 ? 1.2 : 0.0;

    return 0.4 + 0.4 * ring + 0.22 * fibre + gap + 0.2 * (noise_hash((int)plank, 0, 34u) - 0.5);
}

static double grid_figure(struct point place, double footprint_mm)
{
    double x = fabs(place.x / 10.0 - floor(place.x / 10.0) - 0.5) * 10.0;
    double y = fabs(place.y / 10.0 - floor(place.y / 10.0) - 0.5) * 10.0;

    return fmax(coverage(4.9 - fmax(x, y), footprint_mm) * 0.5,
                0.08 * noise_smooth(place.x / 0.8, place.y / 0.8, 35u));
}

struct response desk_colour(const struct desk_top *desk, struct point place, double footprint_mm)
{
    struct response colour = desk->ground;
    double figure;

    place = plate_local(&desk->grain, place);
    if (desk->kind == DESK_OAK || desk->kind == DESK_WALNUT)
        figure = wood_figure(place);
    else if (desk->kind == DESK_MAT)
        figure = grid_figure(place, footprint_mm);
    else if (desk->kind == DESK_CLOTH)
        figure = 0.5 + 0.3 * sin(place.x * 4.2) * sin(place.y * 4.2) +
                 0.3 * noise_rough(place.x / 2.0, place.y / 2.0, 36u);
    else
        figure = 0.5 + 0.6 * noise_rough(place.x / 1.2, place.y / 1.2, 37u);
    colour_over(&colour, &desk->figure, clamp(figure, -0.3, 1.4));
    return colour;
}

static struct response see_ink(const struct receptor *receptor, gsl_rng *rng, double density)
{
    struct spectrum paper = paper_reflectance(PAPER_WHITE);
    struct spectrum ink = ink_reflectance(
        (int)gsl_rng_uniform_int(rng, (unsigned long)inks_count()), &paper, density);

    return receptor_see(receptor, &ink);
}

struct prop prop_make(const struct receptor *receptor, int pads, gsl_rng *rng)
{
    static const struct {
        double width_low, width_high, depth_low, depth_high, height_low, height_high;
    } sizes[PROP_KINDS] = {
        [PROP_BOX] = {35, 110, 30, 70, 8, 30},
        [PROP_PAD] = {55, 95, 40, 60, 9, 16},
        [PROP_PENCIL] = {110, 175, 7, 9, 7, 7},
        [PROP_STRIP] = {70, 150, 18, 28, 0.3, 0.4},
    };
    enum prop_kind drawn = (enum prop_kind)gsl_rng_uniform_int(rng, PROP_KINDS);
    enum prop_kind kind = !pads ? drawn : drawn == PROP_STRIP ? PROP_STRIP : PROP_PAD;
    struct prop prop = {.kind = kind};
    double height = gsl_ran_flat(rng, sizes[kind].height_low, sizes[kind].height_high);
    double width = gsl_ran_flat(rng, sizes[kind].width_low, sizes[kind].width_high);
    double depth = gsl_ran_flat(rng, sizes[kind].depth_low, sizes[kind].depth_high);

    prop.plate =
        plate_make((struct point){0, 0}, gsl_ran_flat(rng, 0.0, 360.0), width, depth, height);
    prop.body = kind == PROP_PAD     ? see_ramp(receptor, 0.04, 0.01, 550)
                : kind == PROP_STRIP ? see_ramp(receptor, 0.80, 0.03, 480)
                                     : see_ink(receptor, rng, 1.2);
    prop.second = kind == PROP_PENCIL ? see_ramp(receptor, 0.25, 0.4, 530)
                                      : see_ink(receptor, rng, kind == PROP_PAD ? 1.6 : 0.3);
    for (int i = 0; i < STRIP_COLOURS; i++)
        prop.strip[i] = see_ink(receptor, rng, 1.0);
    return prop;
}

static struct response pencil_top(const struct prop *prop, struct point local)
{
    double facet = local.y / prop->plate.half_height;
    double from_tip = prop->plate.half_width - local.x;
    struct response colour = from_tip < 14.0 ? prop->second : prop->body;

    if (from_tip < 3.5)
        colour_scale(&colour, 0.15);
    colour_scale(&colour, facet < -0.4 ? 1.15 : facet < 0.35 ? 0.9 : 0.5);
    return colour;
}

static struct response prop_top(const struct prop *prop, struct point local, double footprint_mm)
{
    struct plate inner = prop->plate;
    struct response colour = prop->body;
    double slot, depth = 2.0 * prop->plate.half_height;

    inner.half_width *= prop->kind == PROP_PAD ? 0.86 : 0.6;
    inner.half_height *= prop->kind == PROP_PAD ? 0.8 : 0.45;
    if (prop->kind == PROP_PENCIL)
        return pencil_top(prop, local);
    if (prop->kind != PROP_STRIP) {
        colour_over(&colour, &prop->second,
                    coverage(plate_distance(&inner, local, 1.0), footprint_mm));
        return colour;
    }
    slot = (local.x + prop->plate.half_width) / depth;
    if (slot < STRIP_COLOURS && fabs(local.y) < 0.4 * depth &&
        fabs(slot - floor(slot) - 0.5) < 0.42)
        colour = prop->strip[(int)clamp(slot, 0.0, STRIP_COLOURS - 1.0)];
    return colour;
}

static double distance_at(const struct prop *prop, const struct sight *sight, double radius,
                          double height)
{
    struct point place = view_meet(sight->view, sight->direction, height);

    return plate_distance(&prop->plate, plate_local(&prop->plate, place), radius);
}

/*
 * How near the line of sight comes to the thing anywhere below its top: the
 * distance to a convex outline is convex along a line, so halving thirds finds it.
 */
static double side_distance(const struct prop *prop, const struct sight *sight, double radius)
{
    double low = 0.0, high = prop->plate.height;
    struct point top = view_meet(sight->view, sight->direction, high);
    double reach = hypot(top.x - sight->desk.x, top.y - sight->desk.y) / 2.0;
    double least = distance_at(prop, sight, radius, high / 2.0) - reach;

    if (least > sight->footprint_mm) /* no height brings it nearer than that */
        return least;
    for (int round = 0; round < 12; round++) {
        double third = (high - low) / 3.0;

        if (distance_at(prop, sight, radius, low + third) <
            distance_at(prop, sight, radius, high - third))
            high -= third;
        else
            low += third;
    }
    return distance_at(prop, sight, radius, (low + high) / 2.0);
}

/* A quick look whether a thing or its shadow can be in the line of sight at all. */
static int out_of_sight(const struct prop *prop, const struct sight *sight)
{
    double reach =
        prop->plate.half_width + prop->plate.half_height + 3.0 * prop->plate.height + 10.0;

    return square(sight->desk.x - prop->plate.centre.x) +
               square(sight->desk.y - prop->plate.centre.y) >
           square(reach);
}

void prop_paint(const struct prop *prop, const struct sight *sight, struct response *colour)
{
    double radius = prop->kind == PROP_PENCIL || prop->kind == PROP_STRIP ? 0.5 : 3.0;
    struct response side = prop->body, face;
    struct point local;
    double top;

    if (out_of_sight(prop, sight))
        return;
    local = plate_local(&prop->plate, view_meet(sight->view, sight->direction, prop->plate.height));
    top = coverage(plate_distance(&prop->plate, local, radius), sight->footprint_mm);
    plate_cast_shadow(&prop->plate, sight, 2.0 + 0.5 * prop->plate.height, colour);
    colour_scale(&side, 0.45);
    if (prop->kind != PROP_STRIP && top < 1.0)
        colour_over(colour, &side,
                    coverage(side_distance(prop, sight, radius), sight->footprint_mm));
    if (top <= 0.0)
        return;
    face = prop_top(prop, local, sight->footprint_mm);
    colour_over(colour, &face, top);
}
