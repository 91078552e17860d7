#include "rim.h"

#include "values/statistics.h"
#include "vision/sampling.h"

#include <math.h>
#include <string.h>

#define SIDES 4
#define POINTS 9   /* along a side */
#define ALONG 0.6  /* the part of a side that is looked at: its middle */
#define DEPTH 0.16 /* of the cell, inside its rim: past soft and uneven edges */
#define DEPTH_STEP 0.07
#define DEPTHS 3
#define BARE_QUANTILE 0.65 /* of the gap's points: labels and outlines are darker than paper */
#define GAP_USUAL 0.1      /* of the cell, where the gap can't be told from a neighbour */
#define GAP_MIN_PX 8.0     /* in less, the cells' own colours spill over */
#define GAP_MAX 0.6        /* of the cell: what lies further off is in other light */
#define DARK 1e-4

/* Lines of points along a side, at a depth inside it (outside below 0). */
struct strip {
    double depth, step;
    int lines;
    double quantile;
};

/* A point of a cell's quad: across and down from its first corner, 0 to 1, or beyond. */
static struct point inside(const struct quad *quad, double across, double down)
{
    struct point upper = point_between(quad->corner[0], quad->corner[1], across);
    struct point lower = point_between(quad->corner[3], quad->corner[2], across);

    return point_between(upper, lower, down);
}

/* The same, told by side (0 the upper, then clockwise), how far along, and how deep inside it. */
static struct point at_side(const struct quad *quad, int side, double along, double depth)
{
    switch (side) {
    case 0:
        return inside(quad, along, depth);
    case 1:
        return inside(quad, 1 - depth, along);
    case 2:
        return inside(quad, along, 1 - depth);
    default:
        return inside(quad, depth, along);
    }
}

static const struct quad *neighbour(const struct chart_pose *chart, int cell, int side)
{
    int row = cell / chart->columns, column = cell % chart->columns;
    static const int rows[SIDES] = {-1, 0, 1, 0}, columns[SIDES] = {0, 1, 0, -1};
    int there_row = row + rows[side], there_column = column + columns[side];

    if (there_row < 0 || there_row >= chart->rows || there_column < 0 ||
        there_column >= chart->columns)
        return NULL;
    return &chart->outline[there_row * chart->columns + there_column];
}

static double size_across(const struct quad *quad, int side)
{
    return point_distance(at_side(quad, side, 0.5, 0), at_side(quad, side, 0.5, 1));
}

/* The gap at a side, as a part of the cell; at the chart's border, that of the other side. */
static double gap_at(const struct chart_pose *chart, int cell, int side)
{
    const struct quad *here = &chart->outline[cell];
    const struct quad *there = neighbour(chart, cell, side);
    const struct quad *back = neighbour(chart, cell, (side + 2) % SIDES);
    double gap_px = GAP_USUAL * size_across(here, side);

    if (there)
        gap_px = point_distance(at_side(here, side, 0.5, 0), at_side(there, side, 0.5, 1));
    else if (back)
        gap_px = point_distance(at_side(here, side, 0.5, 1), at_side(back, side, 0.5, 0));
    return fmin(gap_px / size_across(here, side), GAP_MAX);
}

/* A quantile of the colours of points along a side at some depths, as logarithms. */
static bool look_along(const struct photo *photo, const struct quad *quad, int side,
                       const struct strip *strip, double log_rgb[3])
{
    double values[3][POINTS * DEPTHS];
    size_t seen = 0;

    for (int i = 0; i < strip->lines * POINTS; i++) {
        double along = 0.5 + ALONG * ((i % POINTS + 0.5) / POINTS - 0.5);
        double depth = strip->depth + (i / POINTS) * strip->step;
        struct rgb rgb;

        if (!sampling_glance(photo, at_side(quad, side, along, depth), 1, &rgb))
            continue;
        for (int k = 0; k < 3; k++)
            values[k][seen] = log(fmax(rgb.channel[k], DARK));
        seen++;
    }
    for (int k = 0; k < 3; k++)
        log_rgb[k] = seen ? statistics_quantile(values[k], seen, strip->quantile) : 0;
    return seen * 2 > (size_t)(strip->lines * POINTS);
}

static bool step_at(const struct photo *photo, const struct quad *here, int side, double gap,
                    double step[3])
{
    const struct strip within = {DEPTH, DEPTH_STEP, DEPTHS, 0.5};
    const struct strip without = {-gap / 2, 0, 1, BARE_QUANTILE};
    double ink[3], bare[3];

    if (!look_along(photo, here, side, &within, ink) ||
        !look_along(photo, here, side, &without, bare))
        return false;
    for (int k = 0; k < 3; k++)
        step[k] = ink[k] - bare[k];
    return true;
}

/* The mean step at two sides that face one another: a slope of the light cancels. */
static void look_across(const struct photo *photo, const struct chart_pose *chart, int cell,
                        int side, struct rim *rim)
{
    const struct quad *here = &chart->outline[cell];
    double step[2][3], size_px = size_across(here, side);

    for (int i = 0; i < 2; i++) {
        double gap = gap_at(chart, cell, side + 2 * i);

        if (gap * size_px < GAP_MIN_PX || !step_at(photo, here, side + 2 * i, gap, step[i]))
            return;
    }
    for (int k = 0; k < 3; k++) {
        double mean = (step[0][k] + step[1][k]) / 2;

        rim->step[k] = (mean + rim->pairs * rim->step[k]) / (rim->pairs + 1);
    }
    rim->pairs++;
}

void rim_look(const struct photo *photo, const struct chart_pose *chart, int cell, struct rim *rim)
{
    memset(rim, 0, sizeof *rim);
    for (int side = 0; side < 2; side++)
        look_across(photo, chart, cell, side, rim);
}
