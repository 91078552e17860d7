#include "gamut.h"

#include <math.h>

#define STEPS 60

static double dot(struct lab a, struct lab b)
{
    return a.L * b.L + a.a * b.a + a.b * b.b;
}

static struct lab between(struct lab a, struct lab b, double part)
{
    return (struct lab){a.L + part * (b.L - a.L), a.a + part * (b.a - a.a),
                        a.b + part * (b.b - a.b)};
}

static struct lab minus(struct lab a, struct lab b)
{
    return (struct lab){a.L - b.L, a.a - b.a, a.b - b.b};
}

/* Walk towards the corner that lies furthest along the way to the colour. */
double gamut_distance(const struct colour_patch *patches, int count, struct lab lab)
{
    struct lab nearest = patches[0].lab;

    for (int step = 0; step < STEPS; step++) {
        struct lab way = minus(lab, nearest), furthest = nearest, edge;
        double part;

        for (int i = 0; i < count; i++)
            if (dot(way, patches[i].lab) > dot(way, furthest))
                furthest = patches[i].lab;
        edge = minus(furthest, nearest);
        part = dot(edge, edge) > 0 ? dot(way, edge) / dot(edge, edge) : 0;
        nearest = between(nearest, furthest, fmin(fmax(part, 0), 1));
    }
    return sqrt(dot(minus(lab, nearest), minus(lab, nearest)));
}
