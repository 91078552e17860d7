#ifndef SCENE_DESK_H
#define SCENE_DESK_H

#include "plan.h"
#include "plate.h"

#include <gsl/gsl_rng.h>

/*
 * The desk top and what lies about on it.
 */

enum { PROPS_MAX = 24, STRIP_COLOURS = 6 };

enum prop_kind { PROP_BOX, PROP_PAD, PROP_PENCIL, PROP_STRIP, PROP_KINDS };

struct prop {
    enum prop_kind kind;
    struct plate plate;
    struct response body, second, strip[STRIP_COLOURS];
};

struct desk_top {
    int kind;
    struct plate grain; /* which way it runs */
    struct response ground, figure;
};

struct desk_top desk_make(int kind, double grain_degrees, const struct receptor *receptor);
struct response desk_colour(const struct desk_top *desk, struct point place, double footprint_mm);

/** A thing of random kind and size; it lies at the origin until moved. */
struct prop prop_make(const struct receptor *receptor, int pads, gsl_rng *rng);

void prop_paint(const struct prop *prop, const struct sight *sight, struct response *colour);

#endif
