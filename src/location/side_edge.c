#include "side_edge.h"

#include <math.h>
#include <stdlib.h>

#define SCAN_START 0.15 /* of the side: the first scan, and the last from the other end */
#define STEPS_MAX 160
#define STEP_PX 0.5
#define SPAN 2         /* steps to either side over which colour is seen to change */
#define EDGE_RATIO 0.2 /* of a side's strongest: the first as strong as this is the edge */
#define MEAN_EDGE                                                                                  \
    0.6        /* of the least edge of a scan: that of a mean, which noise does not raise          \
                */
#define SURE 4 /* standard errors by which the mean of the scans must change */
#define LIKENESS_MIN                                                                               \
    0.5                 /* of the mean's change: the least that a scan's own must share with it    \
                         */
#define NEAR_REACH 0.03 /* of the side: how far a scan's edge may lie from that of the mean */
#define INSIDE_STEPS 3  /* the first of a scan: surely ink */
#define PAPER_REACH 0.2 /* of the side: how much farther out than a scan paper is looked for */
#define PAPER_STEPS 12
#define HUE_MIN 3000  /* of 65535: what differs less from paper has no hue to go by */
#define HALF_GONE 0.5 /* of the ink's hue, at its edge */
#define GREY_MAX 0.2  /* of the ink's hue: what has no more beyond the edge is grey */
#define GREY_FROM 6   /* steps beyond the edge, where the ink's blur has ended */
#define GREY_TO 12
#define FADE_REACH 4   /* steps by which the strongest change may lie off the half of the hue */
#define LINE_REACH 8   /* steps beyond the edge within which a line cuts it short */
#define LINE_RATIO 0.4 /* of the edge: as strong as this is a line */

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

static double dot(const struct colour *a, const struct colour *b)
{
    return a->channel[0] * b->channel[0] + a->channel[1] * b->channel[1] +
           a->channel[2] * b->channel[2];
}

static double length(const struct colour *a)
{
    return sqrt(dot(a, a));
}

/* Colours along a scan, and how they change over two pixels; at its ends they are not known to. */
struct profile {
    struct colour colours[STEPS_MAX];
    struct colour changes[STEPS_MAX];
    int steps;
};

static double along_side(int scan)
{
    return SCAN_START + (1 - 2 * SCAN_START) * scan / (SIDE_SCANS - 1);
}

static void find_changes(struct profile *profile)
{
    const struct colour *colours = profile->colours;

    for (int i = SPAN; i + SPAN < profile->steps; i++)
        for (int k = 0; k < 3; k++)
            profile->changes[i].channel[k] =
                colours[i + SPAN].channel[k] - colours[i - SPAN].channel[k];
}

static void scan_side(const struct image *image, const struct side_scan *side, int number,
                      struct profile *profile)
{
    struct point start = point_between(side->from, side->to, along_side(number));

    profile->steps = (int)fmin((side->in_px + side->out_px) / STEP_PX, STEPS_MAX);
    for (int i = 0; i < profile->steps; i++)
        profile->colours[i] = colour_at(
            image, point_add(start, point_scale(side->outward, i * STEP_PX - side->in_px)));
    find_changes(profile);
}

/* What the scans of a side have in common. */
struct mean_profile {
    struct profile profile;
    double slope[STEPS_MAX]; /* how much colour changes over two pixels */
    double error[STEPS_MAX]; /* of that, standard, by how the scans differ */
};

static void find_slopes(const struct profile scans[SIDE_SCANS], struct mean_profile *mean)
{
    for (int i = 0; i < mean->profile.steps; i++) {
        const struct colour *change = &mean->profile.changes[i];
        double squares = 0;

        for (int j = 0; j < SIDE_SCANS; j++)
            squares += dot(&scans[j].changes[i], &scans[j].changes[i]) - dot(change, change);
        mean->slope[i] = length(change);
        mean->error[i] = sqrt(fmax(squares, 0) / (SIDE_SCANS - 1) / SIDE_SCANS);
    }
}

static void find_mean(const struct profile scans[SIDE_SCANS], struct mean_profile *mean)
{
    mean->profile.steps = scans[0].steps;
    for (int j = 0; j < SIDE_SCANS; j++)
        for (int i = 0; i < scans[j].steps; i++)
            for (int k = 0; k < 3; k++)
                mean->profile.colours[i].channel[k] += scans[j].colours[i].channel[k] / SIDE_SCANS;
    find_changes(&mean->profile);
    find_slopes(scans, mean);
}

/* Where between samples a peak stands, by a parabola through it and its neighbours. */
static double peak_offset(double before, double at, double after)
{
    double bend = before - 2 * at + after;

    return bend < 0 ? 0.5 * (before - after) / bend : 0;
}

static bool is_peak(const double slope[], int i)
{
    return slope[i] >= slope[i - 1] && slope[i] >= slope[i + 1];
}

/* Of the peaks that reach `least`, which may differ by place, the nearest to a place, if one lies
 * within reach of it; -1 if none does. The ends of a scan are no peaks. */
static int nearest_peak(const double slope[], const double least[], int steps, int near, int reach)
{
    int best = -1;

    for (int i = SPAN + 1; i + SPAN + 1 < steps; i++)
        if (abs(i - near) <= reach && slope[i] >= least[i] && is_peak(slope, i) &&
            (best < 0 || abs(i - near) < abs(best - near)))
            best = i;
    return best;
}

static bool rises(const struct colour *change)
{
    return change->channel[0] + change->channel[1] + change->channel[2] > 0;
}

/* The mean's edge nearest to a place, of those that rise or of all: it must reach `edge_min`, and
 * more than chance. */
static int mean_edge_near(const struct mean_profile *mean, double edge_min, bool rising, int near,
                          int reach)
{
    double least[STEPS_MAX];

    for (int i = 0; i < mean->profile.steps; i++)
        least[i] = rising && !rises(&mean->profile.changes[i])
                       ? INFINITY
                       : fmax(edge_min, SURE * mean->error[i]);
    return nearest_peak(mean->slope, least, mean->profile.steps, near, reach);
}

/* Where ink ends its paper begins, which is lighter, and an outline is drawn beyond, which may be
 * far darker than the ink; failing that, the first strong edge. */
static int first_edge(const struct mean_profile *mean, const struct outline_search *search)
{
    double edge_min = MEAN_EDGE * search->edge_min, strongest = 0;
    int steps = mean->profile.steps;
    int edge = search->onto_paper ? mean_edge_near(mean, edge_min, true, 0, steps) : -1;

    for (int i = 0; i < steps; i++)
        strongest = fmax(strongest, mean->slope[i]);
    return edge >= 0
               ? edge
               : mean_edge_near(mean, fmax(edge_min, EDGE_RATIO * strongest), false, 0, steps);
}

/* One scan's own crossing of the mean's edge: where it changes most between the same colours. */
static double crossing_near(const struct profile *scan, const struct colour *change, int near,
                            int reach, double edge_min)
{
    double slope[STEPS_MAX], least[STEPS_MAX], size = length(change);
    int at;

    for (int i = 0; i < scan->steps; i++) {
        slope[i] = dot(&scan->changes[i], change) / size;
        least[i] = fmax(edge_min, LIKENESS_MIN * size);
    }
    at = nearest_peak(slope, least, scan->steps, near, reach);
    return at < 0 ? NAN : at + peak_offset(slope[at - 1], slope[at], slope[at + 1]);
}

/* The part of the ink's colour that paper lacks, whatever is drawn on it in grey: a colour's
 * product with `axis` is 1 in the ink, 0 on paper. */
struct hue {
    struct colour axis;
    double size; /* of 65535 */
};

static double least_channel(const struct colour *colour)
{
    return fmin(fmin(colour->channel[0], colour->channel[1]), colour->channel[2]);
}

/* What the scans of a side have in common so far outwards. */
static struct colour mean_colour_at(const struct image *image, const struct side_scan *side,
                                    double out_px)
{
    struct colour mean = {{0}};

    for (int j = 0; j < SIDE_SCANS; j++) {
        struct point start = point_between(side->from, side->to, along_side(j));
        struct colour one = colour_at(image, point_add(start, point_scale(side->outward, out_px)));

        for (int k = 0; k < 3; k++)
            mean.channel[k] += one.channel[k] / SIDE_SCANS;
    }
    return mean;
}

static struct colour lighter_of(struct colour a, struct colour b)
{
    return least_channel(&b) > least_channel(&a) ? b : a;
}

/* The lightest of what the scans have in common, looking farther out than they reach. */
static struct colour paper_of(const struct image *image, const struct side_scan *side,
                              const struct profile *mean)
{
    double farther_px = PAPER_REACH * point_distance(side->from, side->to);
    struct colour paper = mean->colours[0];

    for (int i = 1; i < mean->steps; i++)
        paper = lighter_of(paper, mean->colours[i]);
    for (int i = 0; i < PAPER_STEPS; i++)
        paper = lighter_of(
            paper, mean_colour_at(image, side, side->out_px + farther_px * i / PAPER_STEPS));
    return paper;
}

static struct hue hue_of(const struct image *image, const struct side_scan *side,
                         const struct profile *mean)
{
    struct colour ink = {{0}}, paper = paper_of(image, side, mean);
    struct hue hue;
    double whiteness;

    for (int i = 0; i < INSIDE_STEPS; i++)
        for (int k = 0; k < 3; k++)
            ink.channel[k] += mean->colours[i].channel[k] / INSIDE_STEPS;
    whiteness = dot(&ink, &paper) / fmax(dot(&paper, &paper), 1);
    for (int k = 0; k < 3; k++)
        hue.axis.channel[k] = ink.channel[k] - whiteness * paper.channel[k];
    hue.size = length(&hue.axis);
    for (int k = 0; k < 3; k++)
        hue.axis.channel[k] /= fmax(hue.size * hue.size, 1);
    return hue;
}

/* How much more than half of the ink's hue is left at a step of a scan. */
static double over_half(const struct profile *scan, const struct hue *hue, int i)
{
    return dot(&scan->colours[i], &hue->axis) - HALF_GONE;
}

/* The step before which half of the hue is left, and after which less, nearest to a place; or -1.
 */
static int fade_near(const struct profile *scan, const struct hue *hue, int near, int reach)
{
    int best = -1;

    for (int i = 0; i + 1 < scan->steps; i++)
        if (abs(i - near) <= reach && over_half(scan, hue, i) >= 0 &&
            over_half(scan, hue, i + 1) < 0 && (best < 0 || abs(i - near) < abs(best - near)))
            best = i;
    return best;
}

static double fade_crossing(const struct profile *scan, const struct hue *hue, int near, int reach)
{
    int at = fade_near(scan, hue, near, reach);
    double before = at < 0 ? 0 : over_half(scan, hue, at);

    return at < 0 ? NAN : at + before / (before - over_half(scan, hue, at + 1));
}

/* Where the ink's hue fades for good, to paper or a line in grey; -1 if it has too little hue, or
 * another ink lies close by. */
static int hue_edge(const struct profile *mean, const struct hue *hue)
{
    int fade = hue->size > HUE_MIN ? fade_near(mean, hue, 0, mean->steps) : -1;

    for (int i = fade + GREY_FROM; fade >= 0 && i < fade + GREY_TO && i < mean->steps; i++)
        if (fabs(dot(&mean->colours[i], &hue->axis)) > GREY_MAX)
            return -1;
    return fade;
}

/* Whether a line is drawn so close to where the hue fades that the strongest change is no guide. */
static bool is_cut_short(const struct mean_profile *mean, int fade, int edge)
{
    int from = edge < fade ? edge : fade;

    for (int i = from > SPAN ? from : SPAN + 1;
         i < edge + LINE_REACH && i + SPAN + 1 < mean->profile.steps; i++)
        if (!rises(&mean->profile.changes[i]) && is_peak(mean->slope, i) &&
            mean->slope[i] >= SURE * mean->error[i] &&
            mean->slope[i] > LINE_RATIO * mean->slope[edge])
            return true;
    return false;
}

/* What a side's edge is told by: where the hue fades, unless -1, or else by the strongest change.
 */
struct guide {
    struct hue hue;
    int fade;
    int edge;
};

static struct guide guide_of(const struct image *image, const struct side_scan *side,
                             const struct mean_profile *mean, const struct outline_search *search)
{
    struct guide guide = {.fade = -1};

    if (search->onto_paper) {
        guide.hue = hue_of(image, side, &mean->profile);
        guide.fade = hue_edge(&mean->profile, &guide.hue);
    }
    guide.edge = guide.fade < 0 ? first_edge(mean, search)
                                : mean_edge_near(mean, MEAN_EDGE * search->edge_min, true,
                                                 guide.fade, FADE_REACH);
    if (guide.edge >= 0 && guide.fade >= 0 && !is_cut_short(mean, guide.fade, guide.edge))
        guide.fade = -1;
    return guide;
}

/* How far the mean of the scans takes to change as a whole, as steeply as it does at its edge. */
static double blur_of(const struct profile *mean, const struct guide *guide)
{
    const struct colour *axis = guide->fade >= 0 ? &guide->hue.axis : &mean->changes[guide->edge];
    int at = guide->fade >= 0 ? guide->fade : guide->edge;
    int before = at > SPAN ? at - SPAN : 0;
    int after = at + SPAN < mean->steps ? at + SPAN : mean->steps - 1;
    double low = INFINITY, high = -INFINITY;

    for (int i = 0; i < mean->steps; i++) {
        low = fmin(low, dot(&mean->colours[i], axis));
        high = fmax(high, dot(&mean->colours[i], axis));
    }
    return (high - low) * (after - before) * STEP_PX /
           fabs(dot(&mean->colours[after], axis) - dot(&mean->colours[before], axis));
}

void side_edge_find(const struct image *image, const struct side_scan *side,
                    const struct outline_search *search, struct side_edge *found)
{
    struct profile scans[SIDE_SCANS] = {0};
    struct mean_profile mean = {0};
    int reach = (int)((NEAR_REACH * point_distance(side->from, side->to) + 1) / STEP_PX);
    struct guide guide;

    for (int i = 0; i < SIDE_SCANS; i++)
        scan_side(image, side, i, &scans[i]);
    find_mean(scans, &mean);
    guide = guide_of(image, side, &mean, search);
    found->count = 0;
    if (guide.fade < 0 && guide.edge < 0)
        return;
    found->blur_px = blur_of(&mean.profile, &guide);
    for (int i = 0; i < SIDE_SCANS; i++) {
        double at = guide.fade >= 0 ? fade_crossing(&scans[i], &guide.hue, guide.fade, reach)
                                    : crossing_near(&scans[i], &mean.profile.changes[guide.edge],
                                                    guide.edge, reach, search->edge_min);

        found->along[found->count] = along_side(i) - 0.5;
        found->offset_px[found->count] = at * STEP_PX - side->in_px;
        found->count += !isnan(at);
    }
}
