#include "outline.h"

#include "side_edge.h"
#include "values/statistics.h"

#include <math.h>

#define IN_MORE_PX 2 /* a scan goes this much farther: at its ends no edge can be told */
#define OUT_MORE_PX 5
#define POINTS_MIN 6 /* scans of a side that must find an edge */
#define LINE_ROUNDS 4
#define LINE_SCALE 0.006   /* of the side: points farther off the line lose their weight */
#define LINE_OFF_MAX 0.012 /* of the side: the median point may lie no farther off */
/* Of a side whose edge is blurred over 16 % of it, or scatters by 0.45 %, 1 corner in
 * 100 is off by 2 % and more: from rendered photos. */
#define ERROR_BY_BLUR (0.02 / 0.16)
#define ERROR_BY_SCATTER (0.02 / 0.0045)
#define MOVE_MAX 1.3 /* of how far a side may move: no corner moves farther */

const struct outline_search outline_of_region = {0.11, 0.09, 0.02, 800, true};
const struct outline_search outline_shifted = {0.11, 0.09, 0.06, 1500, false};
const struct outline_search outline_near = {0.06, 0.06, 0.06, 500, true};

/* A straight line offset from a side: `offset` pixels outwards at its middle, plus `slope` a side.
 */
struct line {
    double offset;
    double slope;
};

static double off_line(const struct side_edge *found, const struct line *line, int i)
{
    return found->offset_px[i] - line->offset - line->slope * found->along[i];
}

static double weight_of(double off_px, double side_px)
{
    double share = off_px / (LINE_SCALE * side_px + 0.3);

    return 1 / (1 + share * share);
}

static void fit_once(const struct side_edge *found, double side_px, struct line *line)
{
    double w = 0, wx = 0, wy = 0, wxx = 0, wxy = 0;

    for (int i = 0; i < found->count; i++) {
        double x = found->along[i], y = found->offset_px[i];
        double weight = weight_of(off_line(found, line, i), side_px);

        w += weight;
        wx += weight * x;
        wy += weight * y;
        wxx += weight * x * x;
        wxy += weight * x * y;
    }
    line->slope = (w * wxy - wx * wy) / fmax(w * wxx - wx * wx, 1e-9);
    line->offset = (wy - line->slope * wx) / w;
}

/* Fit a line through the edge points of one side; false if they are few or scattered. */
static bool fit_line(const struct side_edge *found, double side_px, struct line *line)
{
    double values[SIDE_SCANS];
    size_t count = (size_t)found->count;

    if (found->count < POINTS_MIN)
        return false;
    for (int i = 0; i < found->count; i++)
        values[i] = found->offset_px[i];
    *line = (struct line){statistics_median(values, count), 0};
    for (int round = 0; round < LINE_ROUNDS; round++)
        fit_once(found, side_px, line);
    for (int i = 0; i < found->count; i++)
        values[i] = fabs(off_line(found, line, i));
    return statistics_median(values, count) < LINE_OFF_MAX * side_px + 0.5;
}

/* How far off the corners of a side may be, in parts of it: the more blurred its edge, and the
 * more its points scatter about the line, of those that count. */
static double side_error(const struct side_edge *found, const struct line *line, double side_px)
{
    double squares = 0, weights = 0, scatter_px;

    for (int i = 0; i < found->count; i++) {
        double off_px = off_line(found, line, i), weight = weight_of(off_px, side_px);

        squares += weight * off_px * off_px;
        weights += weight;
    }
    scatter_px = sqrt(squares / weights);
    return fmax(ERROR_BY_BLUR * found->blur_px, ERROR_BY_SCATTER * scatter_px) / side_px;
}

/* One side of an outline as two points on its edge, and how far that is from the guess. */
struct side {
    struct point from;
    struct point to;
    double moved_px; /* outwards, at the middle */
    double error;    /* of its corners, in parts of it */
};

static struct side_scan scan_of(const struct outline_search *search, const struct quad *outline,
                                int index)
{
    struct point from = outline->corner[index], to = outline->corner[(index + 1) % 4];
    double depth_px = point_distance(to, outline->corner[(index + 2) % 4]);
    struct point along = point_scale(point_subtract(to, from), 1 / point_distance(from, to));

    return (struct side_scan){from,
                              to,
                              {along.y, -along.x},
                              search->in * depth_px + IN_MORE_PX,
                              search->out * depth_px + OUT_MORE_PX};
}

static bool refine_side(const struct image *image, const struct outline_search *search,
                        const struct quad *outline, int index, struct side *refined)
{
    struct side_scan side = scan_of(search, outline, index);
    double side_px = point_distance(side.from, side.to);
    struct side_edge edge;
    struct line line;

    side_edge_find(image, &side, search, &edge);
    if (!fit_line(&edge, side_px, &line))
        return false;
    refined->from = point_add(side.from, point_scale(side.outward, line.offset - line.slope / 2));
    refined->to = point_add(side.to, point_scale(side.outward, line.offset + line.slope / 2));
    refined->moved_px = line.offset;
    refined->error = side_error(&edge, &line, side_px);
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

/* The outline whose sides these are; false if it is none that the guess could have moved to. */
static bool join_sides(const struct side sides[4], double reach_px, const struct quad *guess,
                       struct quad *outline)
{
    for (int i = 0; i < 4; i++) {
        outline->corner[i] = meet(&sides[(i + 3) % 4], &sides[i]);
        if (!(point_distance(outline->corner[i], guess->corner[i]) < reach_px))
            return false;
    }
    return quad_is_convex(outline);
}

bool outline_refine(const struct photo *photo, const struct outline_search *search,
                    struct quad *outline, double *corner_error)
{
    struct quad refined;
    struct side sides[4];
    double side_px = sqrt(fabs(quad_area(outline))), error = 0;

    *corner_error = INFINITY;
    for (int i = 0; i < 4; i++) {
        if (!refine_side(&photo->image, search, outline, i, &sides[i]))
            return false;
        error = fmax(error, sides[i].error);
    }
    if (!moved_alike(sides, search->unlike * side_px + 1) ||
        !join_sides(sides, MOVE_MAX * search->out * side_px + 2, outline, &refined))
        return false;
    *outline = refined;
    *corner_error = error;
    return true;
}
