#include "location/outline.h"

#include "values/statistics.h"
#include "values/image.h"

#include <math.h>

#define SCANS 11        /* across each side */
#define SCAN_START 0.15 /* of the side: the first scan, and the last from the other end */
#define REACH_OUT 0.11  /* of the side: how far outwards a scan looks for the edge */
#define REACH_IN 0.09
#define STEPS_MAX 160
#define STEP_PX 0.5
#define EDGE_MIN 1500.0 /* of 65535 over two pixels: weaker is no edge */
#define EDGE_RATIO 0.45 /* of the scan's strongest: the first as strong as this is the edge */
#define POINTS_MIN 6    /* scans of a side that must find an edge */
#define LINE_ROUNDS 4
#define LINE_SCALE 0.006   /* of the side: points farther off the line lose their weight */
#define LINE_OFF_MAX 0.012 /* of the side: the median point may lie no farther off */
#define MOVE_MAX 0.14      /* of the side: no corner moves farther */

struct colour {
    double channel[3];
};

static struct colour colour_at(const struct image *image, struct point at)
{
    double x = fmin(fmax(at.x - 0.5, 0), image->width_px - 1.001);
    double y = fmin(fmax(at.y - 0.5, 0), image->height_px - 1.001);
    int left = (int)x, top = (int)y;
    double u = x - left, v = y - top;
    struct colour colour;

    for (int k = 0; k < 3; k++) {
        double upper =
            image_at(image, left, top)[k] * (1 - u) + image_at(image, left + 1, top)[k] * u;
        double lower =
            image_at(image, left, top + 1)[k] * (1 - u) + image_at(image, left + 1, top + 1)[k] * u;

        colour.channel[k] = upper * (1 - v) + lower * v;
    }
    return colour;
}

static double difference(const struct colour *a, const struct colour *b)
{
    double sum = 0;

    for (int k = 0; k < 3; k++)
        sum += (a->channel[k] - b->channel[k]) * (a->channel[k] - b->channel[k]);
    return sqrt(sum);
}

/* Where between samples a peak stands, by a parabola through it and its neighbours. */
static double peak_offset(double before, double at, double after)
{
    double bend = before - 2 * at + after;

    return bend < 0 ? 0.5 * (before - after) / bend : 0;
}

/* The first strong edge of a scan, in pixels from its middle, outwards; NAN if there is none. */
static double first_edge(const struct image *image, struct point middle, struct point outward,
                         double in_px, double out_px)
{
    struct colour colours[STEPS_MAX];
    double slope[STEPS_MAX] = {0};
    int steps = (int)fmin((in_px + out_px) / STEP_PX, STEPS_MAX - 1);
    int span = (int)(1 / STEP_PX);
    double strongest = 0;

    for (int i = 0; i <= steps; i++)
        colours[i] = colour_at(image, point_add(middle, point_scale(outward, i * STEP_PX - in_px)));
    for (int i = span; i + span <= steps; i++) {
        slope[i] = difference(&colours[i + span], &colours[i - span]);
        strongest = fmax(strongest, slope[i]);
    }
    for (int i = span + 1; i + span < steps; i++)
        if (slope[i] >= EDGE_MIN && slope[i] >= EDGE_RATIO * strongest &&
            slope[i] >= slope[i - 1] && slope[i] >= slope[i + 1])
            return (i + peak_offset(slope[i - 1], slope[i], slope[i + 1])) * STEP_PX - in_px;
    return NAN;
}

/* A straight line offset from a side: `offset` pixels outwards at its middle, plus `slope` a side.
 */
struct line {
    double offset;
    double slope;
};

/* Fit a line through the edge points of one side; false if they are few or scattered. */
static bool fit_line(const double *along, const double *edge, int count, double side_px,
                     struct line *line)
{
    double off[SCANS];
    double middle[SCANS];

    if (count < POINTS_MIN)
        return false;
    for (int i = 0; i < count; i++)
        middle[i] = edge[i];
    *line = (struct line){statistics_median(middle, (size_t)count), 0};
    for (int round = 0; round < LINE_ROUNDS; round++) {
        double w = 0, wx = 0, wy = 0, wxx = 0, wxy = 0;

        for (int i = 0; i < count; i++) {
            double distance =
                (edge[i] - line->offset - line->slope * along[i]) / (LINE_SCALE * side_px + 0.3);
            double weight = 1 / (1 + distance * distance);

            w += weight;
            wx += weight * along[i];
            wy += weight * edge[i];
            wxx += weight * along[i] * along[i];
            wxy += weight * along[i] * edge[i];
        }
        line->slope = (w * wxy - wx * wy) / fmax(w * wxx - wx * wx, 1e-9);
        line->offset = (wy - line->slope * wx) / w;
    }
    for (int i = 0; i < count; i++)
        off[i] = fabs(edge[i] - line->offset - line->slope * along[i]);
    return statistics_median(off, (size_t)count) < LINE_OFF_MAX * side_px + 0.5;
}

/* One side of an outline as two points on its edge, and how far that is from the guess. */
struct side {
    struct point from;
    struct point to;
    double moved_px; /* outwards, at the middle */
};

static bool refine_side(const struct image *image, const struct quad *outline, int index,
                        struct side *side)
{
    struct point from = outline->corner[index], to = outline->corner[(index + 1) % 4];
    double side_px = point_distance(from, to);
    double depth_px = point_distance(to, outline->corner[(index + 2) % 4]);
    struct point along_side = point_scale(point_subtract(to, from), 1 / side_px);
    struct point outward = {along_side.y, -along_side.x};
    double along[SCANS], edge[SCANS];
    struct line line;
    int count = 0;

    for (int i = 0; i < SCANS; i++) {
        double fraction = SCAN_START + (1 - 2 * SCAN_START) * i / (SCANS - 1);
        double found = first_edge(image, point_between(from, to, fraction), outward,
                                  REACH_IN * depth_px + 1, REACH_OUT * depth_px + 2);

        if (isnan(found))
            continue;
        along[count] = fraction - 0.5;
        edge[count++] = found;
    }
    if (!fit_line(along, edge, count, side_px, &line))
        return false;
    side->from = point_add(from, point_scale(outward, line.offset - line.slope / 2));
    side->moved_px = line.offset;
    side->to = point_add(to, point_scale(outward, line.offset + line.slope / 2));
    return true;
}

static struct point meet(const struct side *a, const struct side *b)
{
    struct point d = point_subtract(a->to, a->from), e = point_subtract(b->to, b->from);
    double fraction = point_cross(point_subtract(b->from, a->from), e) / point_cross(d, e);

    return point_add(a->from, point_scale(d, fraction));
}

static bool moved_alike(const struct side sides[4], double unlike_px)
{
    double least = sides[0].moved_px, most = sides[0].moved_px;

    for (int i = 1; i < 4; i++) {
        least = fmin(least, sides[i].moved_px);
        most = fmax(most, sides[i].moved_px);
    }
    return most - least < unlike_px;
}

bool outline_refine(const struct photo *photo, double unlike_max, struct quad *outline)
{
    struct quad refined;
    struct side sides[4];
    double side_px = sqrt(fabs(quad_area(outline)));

    for (int i = 0; i < 4; i++)
        if (!refine_side(&photo->image, outline, i, &sides[i]))
            return false;
    if (!moved_alike(sides, unlike_max * side_px + 1))
        return false;
    for (int i = 0; i < 4; i++) {
        refined.corner[i] = meet(&sides[(i + 3) % 4], &sides[i]);
        if (!(point_distance(refined.corner[i], outline->corner[i]) < MOVE_MAX * side_px + 2))
            return false;
    }
    if (!quad_is_convex(&refined))
        return false;
    *outline = refined;
    return true;
}
