#include "location/outline.h"

#include "side_edge.h"
#include "values/statistics.h"

#include <math.h>

#define IN_MORE_PX 2 /* a scan goes this much farther: at its ends no edge can be told */
#define OUT_MORE_PX 3
#define POINTS_MIN 6 /* scans of a side that must find an edge */
#define LINE_ROUNDS 4
#define LINE_SCALE 0.006   /* of the side: points farther off the line lose their weight */
#define LINE_OFF_MAX 0.012 /* of the side: the median point may lie no farther off */
#define MOVE_MAX 1.3       /* of how far a side may move: no corner moves farther */

const struct outline_search outline_of_region = {0.11, 0.09, 0.02, 800, true};
const struct outline_search outline_shifted = {0.11, 0.09, 0.06, 1500, false};
const struct outline_search outline_near = {0.06, 0.06, 0.06, 500, true};

/* A straight line offset from a side: `offset` pixels outwards at its middle, plus `slope` a side.
 */
struct line {
    double offset;
    double slope;
};

/* Fit a line through the edge points of one side; false if they are few or scattered. */
static bool fit_line(const struct side_edge *found, double side_px, struct line *line)
{
    const double *along = found->along, *edge = found->offset_px;
    int count = found->count;
    double off[SIDE_SCANS];
    double middle[SIDE_SCANS];

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
    struct side_edge edge;
    struct line line;

    side_edge_find(image, &side, search, &edge);
    if (!fit_line(&edge, point_distance(side.from, side.to), &line))
        return false;
    refined->from = point_add(side.from, point_scale(side.outward, line.offset - line.slope / 2));
    refined->to = point_add(side.to, point_scale(side.outward, line.offset + line.slope / 2));
    refined->moved_px = line.offset;
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

bool outline_refine(const struct photo *photo, const struct outline_search *search,
                    struct quad *outline)
{
    struct quad refined;
    struct side sides[4];
    double side_px = sqrt(fabs(quad_area(outline)));

    for (int i = 0; i < 4; i++)
        if (!refine_side(&photo->image, search, outline, i, &sides[i]))
            return false;
    if (!moved_alike(sides, search->unlike * side_px + 1))
        return false;
    for (int i = 0; i < 4; i++) {
        refined.corner[i] = meet(&sides[(i + 3) % 4], &sides[i]);
        if (!(point_distance(refined.corner[i], outline->corner[i]) <
              MOVE_MAX * search->out * side_px + 2))
            return false;
    }
    if (!quad_is_convex(&refined))
        return false;
    *outline = refined;
    return true;
}
