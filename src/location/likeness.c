#include "likeness.h"

#include "ink.h"
#include "vision/sampling.h"

#include <math.h>
#include <stdlib.h>

#define RIM 0.1            /* pitches from a cell's edge to where its paper is looked for */
#define AREA_RATIO_MAX 2   /* of a region's area to that of the node nearest to it */
#define PAPER_AROUND_MIN 6 /* of 8: a label or an outline may hide some */
#define PAPER_QUANTILE 0.75
#define PAPER_NEAR 2     /* columns and rows within which paper lies in about the same light */
#define CARD_MARGIN 0.06 /* of the card's side: regions this near are its frame */

/* Against the paper beside the nearest cell, channel by channel: paper in the same light; and
 * paper in a shadow, which keeps its tint. */
#define SAME_LIGHT_MIN 0.75
#define SHADOW_MIN 0.4
#define SHADOW_TINT_MIN 0.85

/* Ink covers a cell: all but one of nine points, this far apart in pitches, are darker than paper.
 */
#define INKED_STEP 0.2
#define INKED_MAX 0.9
#define INKED_POINTS_MIN 8

/* From the middle of the last cell to that of a place beside it. */
#define WAY_POINTS 11
#define WAY_START 0.4

#define BETWEEN_LINES 3
#define BETWEEN_POINTS 7
#define BETWEEN_ASIDE 0.6     /* of half a cell: how far apart the lines run */
#define START_MAX 0.42        /* of the way: less is left of a gap to look at */
#define BETWEEN_PAPER_MIN 0.5 /* of the points between two cells: labels may stand there too */

const struct lattice_node *likeness_nearest(const struct likeness *likeness, struct point at)
{
    const struct lattice *lattice = likeness->lattice;
    const struct lattice_node *nearest = &lattice->nodes[0];

    for (size_t i = 1; i < lattice->count; i++)
        if (point_distance(lattice->nodes[i].region.centre, at) <
            point_distance(nearest->region.centre, at))
            nearest = &lattice->nodes[i];
    return nearest;
}

/* --- paper --- */

/* How bright a place is against paper, in its dimmest channel and in its brightest. */
struct against_paper {
    double least;
    double most;
};

static bool hold_against(const struct likeness *likeness, struct point at, const struct rgb *paper,
                         struct against_paper *ratio)
{
    struct rgb rgb;

    *ratio = (struct against_paper){INFINITY, 0};
    if (!sampling_glance(likeness->photo, at, 1, &rgb))
        return false;
    for (int k = 0; k < 3; k++) {
        ratio->least = fmin(ratio->least, rgb.channel[k] / paper->channel[k]);
        ratio->most = fmax(ratio->most, rgb.channel[k] / paper->channel[k]);
    }
    return true;
}

static bool is_lit_paper(const struct likeness *likeness, struct point at, const struct rgb *paper)
{
    struct against_paper ratio;

    return hold_against(likeness, at, paper, &ratio) && ratio.least > SAME_LIGHT_MIN;
}

static bool is_paper(const struct likeness *likeness, struct point at, const struct rgb *paper)
{
    struct against_paper ratio;

    return hold_against(likeness, at, paper, &ratio) &&
           (ratio.least > SAME_LIGHT_MIN ||
            (ratio.least > SHADOW_MIN && ratio.least > SHADOW_TINT_MIN * ratio.most));
}

struct gap {
    double brightness;
    struct rgb rgb;
};

static int by_brightness(const void *a, const void *b)
{
    double left = ((const struct gap *)a)->brightness;
    double right = ((const struct gap *)b)->brightness;

    return (left > right) - (left < right);
}

/* The paper not far from a node: brighter than most that is seen between the cells, as where they
 * nearly touch ink shows there too; but not the brightest, which may be glare. */
static bool paper_beside(const struct likeness *likeness, const struct lattice_node *node,
                         struct rgb *paper)
{
    struct gap gaps[(2 * PAPER_NEAR + 1) * (2 * PAPER_NEAR + 1)];
    size_t count = 0;

    for (size_t i = 0; i < likeness->lattice->count && count < sizeof gaps / sizeof *gaps; i++) {
        const struct lattice_node *other = &likeness->lattice->nodes[i];
        struct rgb rgb;

        if (abs(other->at[AXIS_COLUMN] - node->at[AXIS_COLUMN]) <= PAPER_NEAR &&
            abs(other->at[AXIS_ROW] - node->at[AXIS_ROW]) <= PAPER_NEAR &&
            ink_paper_beside(likeness->photo, &likeness->warp, other->at[AXIS_COLUMN],
                             other->at[AXIS_ROW], &rgb))
            gaps[count++] = (struct gap){rgb.channel[0] + rgb.channel[1] + rgb.channel[2], rgb};
    }
    if (!count)
        return false;
    qsort(gaps, count, sizeof *gaps, by_brightness);
    *paper = gaps[(size_t)(PAPER_QUANTILE * (double)(count - 1))].rgb;
    return true;
}

/* The corners just outside a cell of a given size whose middle is at a place of the photo. */
static struct quad corners_around(const struct likeness *likeness, const struct lattice_node *like,
                                  const struct cell_box *size, struct point at)
{
    const struct cell_box box = {lattice_node_middle(like),
                                 {size->half[AXIS_COLUMN] + RIM, size->half[AXIS_ROW] + RIM}};
    struct quad corners = cell_box_outline(&likeness->warp, &box);
    struct point shift = point_subtract(at, quad_centre(&corners));

    for (int i = 0; i < 4; i++)
        corners.corner[i] = point_add(corners.corner[i], shift);
    return corners;
}

static bool lies_on_paper(const struct likeness *likeness, const struct lattice_node *like,
                          const struct cell_box *size, struct point at)
{
    struct quad corners = corners_around(likeness, like, size, at);
    struct rgb paper;
    int count = 0;

    if (!paper_beside(likeness, like, &paper))
        return false;
    for (int i = 0; i < 4; i++)
        count +=
            is_paper(likeness, corners.corner[i], &paper) +
            is_paper(likeness, point_between(corners.corner[i], corners.corner[(i + 1) % 4], 0.5),
                     &paper);
    return count >= PAPER_AROUND_MIN;
}

/* Three lines across the gap between two cells: a label hides paper on one of them at most. */
enum paper_between likeness_paper_between(const struct likeness *likeness, struct point from,
                                          struct point to)
{
    const struct lattice_node *like = likeness_nearest(likeness, from);
    struct point way = point_subtract(to, from);
    double half = sqrt(like->region.area_px) / 2, apart = point_distance(from, to);
    double start = half / apart + RIM;
    struct point aside = point_scale((struct point){-way.y, way.x}, BETWEEN_ASIDE * half / apart);
    const double wanted = BETWEEN_PAPER_MIN * BETWEEN_LINES * BETWEEN_POINTS;
    struct rgb paper;
    int lit = 0, count = 0;

    if (start > START_MAX)
        return PAPER_GOES_ON; /* they nearly touch */
    if (!paper_beside(likeness, like, &paper))
        return PAPER_PARTED;
    for (int i = 0; i < BETWEEN_LINES * BETWEEN_POINTS; i++) {
        double part = start + (1 - 2 * start) * (i % BETWEEN_POINTS) / (BETWEEN_POINTS - 1);
        struct point at = point_between(from, to, part);

        at = point_add(at, point_scale(aside, i / BETWEEN_POINTS - 1));
        lit += is_lit_paper(likeness, at, &paper);
        count += is_paper(likeness, at, &paper);
    }
    return lit >= wanted ? PAPER_GOES_ON : count >= wanted ? PAPER_IN_SHADOW : PAPER_PARTED;
}

/* --- cells --- */

static bool is_on_card(const struct likeness *likeness, struct point at)
{
    for (int i = 0; i < 2; i++) {
        struct quad area = quad_inset(&likeness->cards[i].corners, -CARD_MARGIN);

        if (likeness->cards[i].found && quad_contains(&area, at))
            return true;
    }
    return false;
}

/* Where a place lies on the lattice's plane: as its map says, but counted from the node nearest to
 * it, for the sheet may curl. */
static struct point plane_of(const struct likeness *likeness, const struct lattice_node *nearest,
                             struct point at)
{
    struct point place = lattice_plane(likeness->lattice->gaps, lattice_node_middle(nearest));
    struct point step =
        point_subtract(homography_apply(&likeness->inverse, at),
                       homography_apply(&likeness->inverse, nearest->region.centre));

    return point_add(place, step);
}

static bool is_near(const struct likeness *likeness, struct point plane)
{
    return plane.x > -LIKENESS_REACH && plane.y > -LIKENESS_REACH &&
           plane.x < likeness->far.x + LIKENESS_REACH && plane.y < likeness->far.y + LIKENESS_REACH;
}

bool likeness_of_region(const struct likeness *likeness, const struct region *region,
                        struct point *plane)
{
    const struct lattice_node *nearest = likeness_nearest(likeness, region->centre);
    const struct lattice_node node = {{nearest->at[AXIS_COLUMN], nearest->at[AXIS_ROW]}, *region};
    struct cell_box box = cell_box_of_node(&likeness->warp, &node);
    double ratio = region->area_px / nearest->region.area_px;

    *plane = plane_of(likeness, nearest, region->centre);
    return is_near(likeness, *plane) && ratio < AREA_RATIO_MAX && ratio > 1.0 / AREA_RATIO_MAX &&
           cell_box_is_usual(&box, &likeness->usual) && !is_on_card(likeness, region->centre) &&
           (likeness->touching || lies_on_paper(likeness, nearest, &box, region->centre));
}

/* A cell is inked all over; a title or a label shows paper between its strokes. */
static bool is_inked(const struct likeness *likeness, int column, int row, const struct rgb *paper)
{
    int count = 0;

    for (int i = 0; i < 9; i++) {
        struct point place = {column + 0.5 + INKED_STEP * (i % 3 - 1),
                              row + 0.5 + INKED_STEP * (i / 3 - 1)};
        struct against_paper ratio;

        count += hold_against(likeness, warp_apply(&likeness->warp, place), paper, &ratio) &&
                 ratio.least < INKED_MAX;
    }
    return count >= INKED_POINTS_MIN;
}

/* Whether paper shows on the way from the nearest cell to a place beside the chart. */
static bool paper_before(const struct likeness *likeness, struct point at, const struct rgb *paper)
{
    const struct lattice_node *nearest = likeness_nearest(likeness, at);

    for (int i = 0; i < WAY_POINTS; i++) {
        double part = WAY_START + (1 - WAY_START) * i / (WAY_POINTS - 1);

        if (is_paper(likeness, point_between(nearest->region.centre, at, part), paper))
            return true;
    }
    return false;
}

bool likeness_of_place(const struct likeness *likeness, int column, int row)
{
    struct point at = warp_apply(&likeness->warp, (struct point){column + 0.5, row + 0.5});
    struct rgb paper;

    return !is_on_card(likeness, at) &&
           paper_beside(likeness, likeness_nearest(likeness, at), &paper) &&
           is_inked(likeness, column, row, &paper) && !paper_before(likeness, at, &paper);
}

/* --- the chart's own ---- */

static bool cells_touch(const struct likeness *likeness)
{
    size_t count = 0;

    for (size_t i = 0; i < likeness->lattice->count; i++) {
        const struct lattice_node *node = &likeness->lattice->nodes[i];

        count += lies_on_paper(likeness, node, &likeness->usual, node->region.centre);
    }
    return 2 * count < likeness->lattice->count;
}

enum status likeness_of_lattice(const struct photo *photo, const struct card_pose cards[2],
                                const struct lattice *lattice, struct likeness *likeness,
                                struct error *error)
{
    enum status status;

    *likeness = (struct likeness){.photo = photo, .cards = cards, .lattice = lattice};
    likeness->far = lattice_plane(
        lattice->gaps, (struct point){lattice->lines[AXIS_COLUMN], lattice->lines[AXIS_ROW]});
    likeness->inverse = homography_invert(&lattice->map);
    status = warp_fit(lattice, &likeness->warp, error);
    if (!status)
        status = cell_box_usual(lattice, &likeness->warp, &likeness->usual, error);
    if (!status)
        likeness->touching = cells_touch(likeness);
    return status;
}
