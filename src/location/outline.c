#include "location/outline.h"

#include "values/statistics.h"
#include "values/image.h"

#include <math.h>

#define SCANS 11        /* across each side */
#define SCAN_START 0.15 /* of the side: the first scan, and the last from the other end */
#define STEPS_MAX 160
#define STEP_PX 0.5
#define PAPER_EDGE_RATIO 0.1
#define EDGE_RATIO 0.2 /* of a side's strongest: the first as strong as this is the edge */
#define MEAN_EDGE                                                                                  \
    0.6                 /* of the least edge of a scan: that of a mean, which noise does not raise \
                         */
#define NEAR_REACH 0.03 /* of the side: how far a scan's edge may lie from that of the mean */
#define POINTS_MIN 6    /* scans of a side that must find an edge */
#define LINE_ROUNDS 4
#define LINE_SCALE 0.006   /* of the side: points farther off the line lose their weight */
#define LINE_OFF_MAX 0.012 /* of the side: the median point may lie no farther off */
#define MOVE_MAX 1.3       /* of how far a side may move: no corner moves farther */

const struct outline_search outline_of_region = {0.11, 0.09, 0.02, 1500, true};
const struct outline_search outline_shifted = {0.11, 0.09, 0.06, 1500, false};
const struct outline_search outline_near = {0.06, 0.06, 0.06, 500, true};

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

/* One side of a guess, and how it is scanned: from `in_px` inside of it outwards. */
struct side_scan {
    struct point from;
    struct point to;
    struct point outward; /* of length 1 */
    double in_px;
    int steps;
};

/* Colours along a scan, or the mean of all scans of a side. */
struct profile {
    struct colour colours[STEPS_MAX];
    double slope[STEPS_MAX]; /* over two pixels */
};

static void find_slopes(int steps, struct profile *profile)
{
    const int span = (int)(1 / STEP_PX);

    for (int i = 0; i < steps; i++)
        profile->slope[i] = i >= span && i + span < steps ? difference(&profile->colours[i + span],
                                                                       &profile->colours[i - span])
                                                          : 0;
}

static void scan(const struct image *image, const struct side_scan *side, int number,
                 struct profile *profile)
{
    double fraction = SCAN_START + (1 - 2 * SCAN_START) * number / (SCANS - 1);
    struct point middle = point_between(side->from, side->to, fraction);

    for (int i = 0; i < side->steps; i++)
        profile->colours[i] = colour_at(
            image, point_add(middle, point_scale(side->outward, i * STEP_PX - side->in_px)));
    find_slopes(side->steps, profile);
}

static void add_up(const struct profile *profile, int steps, struct profile *mean)
{
    for (int i = 0; i < steps; i++)
        for (int k = 0; k < 3; k++)
            mean->colours[i].channel[k] += profile->colours[i].channel[k] / SCANS;
}

static bool is_peak(const double *slope, int i)
{
    return slope[i] >= slope[i - 1] && slope[i] >= slope[i + 1];
}

static bool rises(const struct profile *profile, int i)
{
    const int span = (int)(1 / STEP_PX);
    double rise = 0;

    for (int k = 0; k < 3; k++)
        rise += profile->colours[i + span].channel[k] - profile->colours[i - span].channel[k];
    return rise > 0;
}

/* The first edge of a side's mean profile that is strong enough, of those that rise or of all. */
static int first_peak(const struct profile *mean, int steps, double least, bool rising)
{
    const int span = (int)(1 / STEP_PX);

    for (int i = span; i + span < steps; i++)
        if (mean->slope[i] >= least && is_peak(mean->slope, i) && (!rising || rises(mean, i)))
            return i;
    return -1;
}

/* Mottle falls out of the mean. Where ink ends its paper begins, which is lighter, and an outline
 * is drawn beyond, which may be far darker than the ink; failing that, the first strong edge. */
static int first_edge(const struct profile *mean, int steps, const struct outline_search *search)
{
    double edge_min = MEAN_EDGE * search->edge_min, strongest = 0;
    int edge = -1;

    for (int i = 0; i < steps; i++)
        strongest = fmax(strongest, mean->slope[i]);
    if (search->onto_paper)
        edge = first_peak(mean, steps, fmax(edge_min, PAPER_EDGE_RATIO * strongest), true);
    return edge >= 0 ? edge
                     : first_peak(mean, steps, fmax(edge_min, EDGE_RATIO * strongest), false);
}

/* One scan's own edge near the side's, in pixels outwards of the guess; NAN if there is none. */
static double edge_near(const struct profile *profile, const struct side_scan *side, int near,
                        int reach, double edge_min)
{
    const double *slope = profile->slope;
    int best = -1;

    for (int i = near - reach; i <= near + reach; i++)
        if (i > 0 && i + 1 < side->steps && slope[i] >= edge_min && is_peak(slope, i) &&
            (best < 0 || slope[i] > slope[best]))
            best = i;
    if (best < 0)
        return NAN;
    return (best + peak_offset(slope[best - 1], slope[best], slope[best + 1])) * STEP_PX -
           side->in_px;
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

static struct side_scan scan_of(const struct outline_search *search, const struct quad *outline,
                                int index)
{
    struct point from = outline->corner[index], to = outline->corner[(index + 1) % 4];
    double depth_px = point_distance(to, outline->corner[(index + 2) % 4]);
    struct point along = point_scale(point_subtract(to, from), 1 / point_distance(from, to));
    double in_px = search->in * depth_px + 1, out_px = search->out * depth_px + 2;

    return (struct side_scan){
        from, to, {along.y, -along.x}, in_px, (int)fmin((in_px + out_px) / STEP_PX, STEPS_MAX)};
}

static bool refine_side(const struct image *image, const struct outline_search *search,
                        const struct quad *outline, int index, struct side *refined)
{
    struct side_scan side = scan_of(search, outline, index);
    double side_px = point_distance(side.from, side.to);
    int reach = (int)((NEAR_REACH * side_px + 1) / STEP_PX);
    struct profile profiles[SCANS], mean = {0};
    double along[SCANS], edge[SCANS];
    struct line line;
    int near, count = 0;

    for (int i = 0; i < SCANS; i++) {
        scan(image, &side, i, &profiles[i]);
        add_up(&profiles[i], side.steps, &mean);
    }
    find_slopes(side.steps, &mean);
    near = first_edge(&mean, side.steps, search);
    for (int i = 0; near >= 0 && i < SCANS; i++) {
        edge[count] = edge_near(&profiles[i], &side, near, reach, search->edge_min);
        along[count] = SCAN_START + (1 - 2 * SCAN_START) * i / (SCANS - 1) - 0.5;
        count += !isnan(edge[count]);
    }
    if (!fit_line(along, edge, count, side_px, &line))
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
