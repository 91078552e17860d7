#include "sheet_paper.h"

#include "base/memory.h"
#include "vision/sampling.h"
#include "values/angle.h"

#include <math.h>
#include <stdlib.h>

#define CELL_HALF 0.12 /* of the pitch: half the side of the square looked at inside a cell */
#define GAP_HALF 0.06  /* the same for the gap where four cells meet */
#define GLANCE_RADIUS_MAX_PX 6.0
#define SEEN_RATIO 0.90 /* darker than this against the paper beside it, in any channel, is ink */
#define NONE_RATIO 0.96 /* lighter is paper */
#define PAPER_GAPS_MIN 3
#define AROUND 12            /* places around a region that are looked at */
#define AROUND_REACH 2.75    /* standard deviations: just outside the corners of a square */
#define INKS_MIN 3           /* cells that meet in a gap, from which on it may show their inks */
#define PAPER_RATIO_MIN 0.35 /* of the card's white, in every channel: dimmer is no paper */

#define RIM 0.1            /* pitches from a cell's edge to where its paper is looked for */
#define PAPER_AROUND_MIN 6 /* of 8: a label or an outline may hide some */
#define PAPER_QUANTILE 0.75
#define PAPER_NEAR 2 /* columns and rows within which paper lies in about the same light */

/* Against the paper beside the nearest cell, channel by channel: paper in the same light; and
 * paper in a shadow, which keeps its tint. */
#define SAME_LIGHT_MIN 0.75
#define SHADOW_MIN 0.4
#define SHADOW_TINT_MIN 0.85

/* Ink covers a cell: all but one of nine points, this far apart in pitches, are darker than paper.
 */
#define INKED_STEP 0.2
#define INKED_POINTS_MIN 8

/* A swab hatched with a pen: strokes and paper by turns over all the inner part of a cell, some ink
 * in each of its nine parts; lettering leaves parts bare. Rendered swabs half bare show 0.4 of ink
 * and 5 turns and more; where strokes are but 3 pixels wide they run together, 0.76 and more. */
#define HATCHED_POINTS 15    /* a side */
#define HATCHED_PART 0.8     /* of the cell's half */
#define HATCHED_MIN 0.3      /* of the points that are ink */
#define HATCHED_TURNS 3.0    /* from ink to paper or back, on the way across or down */
#define HATCHED_BLURRED 0.75 /* of the points: no turns are wanted */
#define LEAST 0.01           /* of a sum of light against paper's */

/* From the middle of the last cell to that of a place beside it. */
#define WAY_POINTS 11
#define WAY_START 0.4

#define BETWEEN_LINES 3
#define BETWEEN_POINTS 7
#define BETWEEN_ASIDE 0.6     /* of half a cell: how far apart the lines run */
#define START_MAX 0.42        /* of the way: less is left of a gap to look at */
#define BETWEEN_PAPER_MIN 0.5 /* of the points between two cells: labels may stand there too */

/* A quick look at a place of the lattice. */
static bool glance(const struct sheet *sheet, struct point middle, double half,
                   struct rgb *rgb_linear)
{
    struct quad box = warp_box(&sheet->warp, (struct point){middle.x - half, middle.y - half},
                               (struct point){middle.x + half, middle.y + half});

    return quad_is_convex(&box) &&
           sampling_glance(sheet->view->photo, quad_centre(&box),
                           (int)fmin(sqrt(quad_area(&box)) / 2, GLANCE_RADIUS_MAX_PX), rgb_linear);
}

/* The colour where four places meet, the one whose first corner it is told by its column and row.
 */
static bool gap_at(const struct sheet *sheet, int column, int row, struct rgb *rgb_linear)
{
    int columns = sheet->lattice.lines[AXIS_COLUMN], rows = sheet->lattice.lines[AXIS_ROW];
    const struct point at = {column, row};
    struct looked_at *gap;

    if (column < 0 || row < 0 || column > columns || row > rows)
        return glance(sheet, at, GAP_HALF, rgb_linear);
    gap = &sheet->gaps[row * (columns + 1) + column];
    if (gap->look == LOOK_DUE)
        gap->look = glance(sheet, at, GAP_HALF, &gap->rgb_linear) ? LOOK_DONE : LOOK_IN_VAIN;
    *rgb_linear = gap->rgb_linear;
    return gap->look == LOOK_DONE;
}

static double brightness(const struct rgb *rgb_linear)
{
    return rgb_linear->channel[0] + rgb_linear->channel[1] + rgb_linear->channel[2];
}

static double dimmest_ratio(const struct rgb *rgb_linear, const struct rgb *white)
{
    double ratio = INFINITY;

    for (int k = 0; k < 3; k++)
        ratio = fmin(ratio, rgb_linear->channel[k] / white->channel[k]);
    return ratio;
}

/* What is seen where four cells of a lattice meet: paper; where they touch, their inks; or what
 * the lattice lies on. */
enum gap { GAP_PAPER, GAP_INKS, GAP_OTHER, GAP_KINDS };

/* All gaps of a lattice, row by row, one more than there are columns and rows. */
struct gaps {
    int columns;
    int rows;
    enum gap *kind;
    int *cells; /* seen around each gap: 0 to 4 */
    int count[GAP_KINDS];
};

/* The index of one of the four gaps at a node's corners. */
static int gap_of(const struct gaps *gaps, const struct lattice_node *node, int corner)
{
    return (node->at[AXIS_ROW] + corner / 2) * gaps->columns + node->at[AXIS_COLUMN] + corner % 2;
}

static enum status gaps_create(const struct lattice *lattice, struct gaps *gaps,
                               struct error *error)
{
    int columns = lattice->lines[AXIS_COLUMN] + 1, rows = lattice->lines[AXIS_ROW] + 1;
    size_t places = (size_t)columns * (size_t)rows;

    *gaps = (struct gaps){.columns = columns, .rows = rows};
    gaps->kind = memory_array(places, sizeof *gaps->kind, "a lattice's gaps", error);
    gaps->cells = memory_array(places, sizeof *gaps->cells, "a lattice's gaps", error);
    if (!gaps->kind || !gaps->cells)
        return error->status;
    for (size_t i = 0; i < lattice->count; i++)
        for (int j = 0; j < 4; j++)
            gaps->cells[gap_of(gaps, &lattice->nodes[i], j)]++;
    return STATUS_OK;
}

static void gaps_release(struct gaps *gaps)
{
    free(gaps->kind);
    free(gaps->cells);
}

static void look_at_gaps(const struct sheet *sheet, const struct rgb *white, struct gaps *gaps)
{
    for (int i = 0; i < gaps->columns * gaps->rows; i++) {
        struct rgb rgb;

        if (!gaps->cells[i])
            continue;
        gaps->kind[i] = gaps->cells[i] >= INKS_MIN ? GAP_INKS : GAP_OTHER;
        if (gap_at(sheet, i % gaps->columns, i / gaps->columns, &rgb) &&
            dimmest_ratio(&rgb, white) > PAPER_RATIO_MIN)
            gaps->kind[i] = GAP_PAPER;
        gaps->count[gaps->kind[i]]++;
    }
}

/* Cells beside the sheet's edge have two gaps on it; those of the chart four, or three by a mark.
 * A lattice with little paper around it lies on something else: its inner gaps tell nothing. */
static bool on_paper(const struct gaps *gaps, const struct lattice_node *node)
{
    bool touching = gaps->count[GAP_PAPER] > gaps->count[GAP_OTHER];
    int count = 0;

    for (int i = 0; i < 4; i++) {
        enum gap kind = gaps->kind[gap_of(gaps, node, i)];

        count += kind == GAP_PAPER || (kind == GAP_INKS && touching);
    }
    return count >= PAPER_GAPS_MIN;
}

enum status sheet_keep_on_paper(struct sheet *sheet, struct error *error)
{
    const struct view *view = sheet->view;
    struct lattice *lattice = &sheet->lattice;
    const struct card_pose *card = &view->cards[0];
    struct point white_at = quad_centre(&card->patch[card->shape.white]);
    struct gaps gaps = {0};
    struct rgb white;
    enum status status = STATUS_OK;
    size_t kept = 0;

    if (!sampling_glance(view->photo, white_at, 2, &white))
        return STATUS_OK; /* nothing to hold paper against */
    status = gaps_create(lattice, &gaps, error);
    if (!status)
        look_at_gaps(sheet, &white, &gaps);
    for (size_t i = 0; !status && i < lattice->count; i++)
        if (on_paper(&gaps, &lattice->nodes[i]))
            lattice->nodes[kept++] = lattice->nodes[i];
    lattice->count = status ? lattice->count : kept;
    gaps_release(&gaps);
    return status;
}

bool sheet_region_is_ink(const struct photo *photo, const struct region *region)
{
    /* A root of the moments takes a circle to the region's own shape. */
    double across = sqrt(region->xx), down = region->xy / across;
    double aside = sqrt(fmax(region->yy - down * down, 0));
    struct rgb ink, paper = {{0, 0, 0}};

    if (!sampling_glance(photo, region->centre, 1, &ink))
        return false;
    for (int i = 0; i < AROUND; i++) {
        double x = AROUND_REACH * cos(ANGLE_FULL_TURN * i / AROUND);
        double y = AROUND_REACH * sin(ANGLE_FULL_TURN * i / AROUND);
        struct point at = {region->centre.x + across * x, region->centre.y + down * x + aside * y};
        struct rgb rgb;

        if (sampling_glance(photo, at, 1, &rgb) && brightness(&rgb) > brightness(&paper))
            paper = rgb;
    }
    return brightness(&paper) > 0 && dimmest_ratio(&ink, &paper) < SEEN_RATIO;
}

/* The bare paper beside a place: the brightest of the gaps at its corners. */
static bool paper_at_corners(const struct sheet *sheet, int column, int row, struct rgb *paper)
{
    bool found = false;

    for (int i = 0; i < 4; i++) {
        struct rgb gap;

        if (gap_at(sheet, column + i % 2, row + i / 2, &gap) &&
            (!found || brightness(&gap) > brightness(paper))) {
            *paper = gap;
            found = true;
        }
    }
    return found;
}

enum ink sheet_ink(const struct sheet *sheet, int column, int row)
{
    struct rgb cell, paper;
    double ratio;

    if (!glance(sheet, (struct point){column + 0.5, row + 0.5}, CELL_HALF, &cell) ||
        !paper_at_corners(sheet, column, row, &paper))
        return INK_UNSURE;
    ratio = dimmest_ratio(&cell, &paper);
    return ratio < SEEN_RATIO ? INK_SEEN : ratio > NONE_RATIO ? INK_NONE : INK_UNSURE;
}

/* --- paper --- */

/* How bright a place is against paper, in its dimmest channel and in its brightest. */
struct against_paper {
    double least;
    double most;
};

static bool hold_against(const struct sheet *sheet, struct point at, const struct rgb *paper,
                         struct against_paper *ratio)
{
    struct rgb rgb;

    *ratio = (struct against_paper){INFINITY, 0};
    if (!sampling_glance(sheet->view->photo, at, 1, &rgb))
        return false;
    for (int k = 0; k < 3; k++) {
        ratio->least = fmin(ratio->least, rgb.channel[k] / paper->channel[k]);
        ratio->most = fmax(ratio->most, rgb.channel[k] / paper->channel[k]);
    }
    return true;
}

/* What of a sheet's paper shows at a place. */
enum paper { PAPER_NONE, PAPER_SHADED, PAPER_LIT };

/* Held against the paper near by; NONE also off the photo. */
static enum paper paper_at(const struct sheet *sheet, struct point at, const struct rgb *paper)
{
    struct against_paper ratio;

    if (!hold_against(sheet, at, paper, &ratio))
        return PAPER_NONE;
    if (ratio.least > SAME_LIGHT_MIN)
        return PAPER_LIT;
    return ratio.least > SHADOW_MIN && ratio.least > SHADOW_TINT_MIN * ratio.most ? PAPER_SHADED
                                                                                  : PAPER_NONE;
}

struct bare {
    double brightness;
    struct rgb rgb;
};

static int by_brightness(const void *a, const void *b)
{
    double left = ((const struct bare *)a)->brightness;
    double right = ((const struct bare *)b)->brightness;

    return (left > right) - (left < right);
}

/* The paper not far from a node: brighter than most that is seen between the cells, as where they
 * nearly touch ink shows there too; but not the brightest, which may be glare. */
static bool find_paper(const struct sheet *sheet, const struct lattice_node *node,
                       struct rgb *paper)
{
    struct bare gaps[(2 * PAPER_NEAR + 1) * (2 * PAPER_NEAR + 1)];
    size_t count = 0;

    for (size_t i = 0; i < sheet->lattice.count && count < sizeof gaps / sizeof *gaps; i++) {
        const struct lattice_node *other = &sheet->lattice.nodes[i];
        struct rgb rgb;

        if (abs(other->at[AXIS_COLUMN] - node->at[AXIS_COLUMN]) <= PAPER_NEAR &&
            abs(other->at[AXIS_ROW] - node->at[AXIS_ROW]) <= PAPER_NEAR &&
            paper_at_corners(sheet, other->at[AXIS_COLUMN], other->at[AXIS_ROW], &rgb))
            gaps[count++] = (struct bare){brightness(&rgb), rgb};
    }
    if (!count)
        return false;
    qsort(gaps, count, sizeof *gaps, by_brightness);
    *paper = gaps[(size_t)(PAPER_QUANTILE * (double)(count - 1))].rgb;
    return true;
}

static bool paper_beside(const struct sheet *sheet, const struct lattice_node *node,
                         struct rgb *paper)
{
    struct looked_at *place =
        &sheet->papers[node->at[AXIS_ROW] * sheet->lattice.lines[AXIS_COLUMN] +
                       node->at[AXIS_COLUMN]];

    if (place->look == LOOK_DUE)
        place->look = find_paper(sheet, node, &place->rgb_linear) ? LOOK_DONE : LOOK_IN_VAIN;
    *paper = place->rgb_linear;
    return place->look == LOOK_DONE;
}

/* The corners just outside a cell of a given size whose middle is at a place of the photo. */
static struct quad corners_around(const struct sheet *sheet, const struct lattice_node *like,
                                  const struct cell_box *size, struct point at)
{
    const struct cell_box box = {lattice_node_middle(like),
                                 {size->half[AXIS_COLUMN] + RIM, size->half[AXIS_ROW] + RIM}};
    struct quad corners = sheet_cell_outline(sheet, &box);
    struct point shift = point_subtract(at, quad_centre(&corners));

    for (int i = 0; i < 4; i++)
        corners.corner[i] = point_add(corners.corner[i], shift);
    return corners;
}

bool sheet_paper_around(const struct sheet *sheet, const struct lattice_node *like,
                        const struct cell_box *size, struct point at)
{
    struct quad corners = corners_around(sheet, like, size, at);
    struct rgb paper;
    int count = 0;

    if (!paper_beside(sheet, like, &paper))
        return false;
    for (int i = 0; i < 4; i++) {
        struct point middle = point_between(corners.corner[i], corners.corner[(i + 1) % 4], 0.5);

        count += paper_at(sheet, corners.corner[i], &paper) != PAPER_NONE;
        count += paper_at(sheet, middle, &paper) != PAPER_NONE;
    }
    return count >= PAPER_AROUND_MIN;
}

/* Three lines across the gap between two cells: a label hides paper on one of them at most. */
enum paper_between sheet_paper_between(const struct sheet *sheet, struct point from,
                                       struct point to)
{
    const struct lattice_node *like = sheet_nearest(sheet, from);
    struct point way = point_subtract(to, from);
    double half = sqrt(like->region.area_px) / 2, apart = point_distance(from, to);
    double start = half / apart + RIM;
    struct point aside = point_scale((struct point){-way.y, way.x}, BETWEEN_ASIDE * half / apart);
    const double wanted = BETWEEN_PAPER_MIN * BETWEEN_LINES * BETWEEN_POINTS;
    struct rgb paper;
    int lit = 0, count = 0;

    if (start > START_MAX)
        return PAPER_GOES_ON; /* they nearly touch */
    if (!paper_beside(sheet, like, &paper))
        return PAPER_PARTED;
    for (int i = 0; i < BETWEEN_LINES * BETWEEN_POINTS; i++) {
        double part = start + (1 - 2 * start) * (i % BETWEEN_POINTS) / (BETWEEN_POINTS - 1);
        struct point at = point_between(from, to, part);
        enum paper seen;

        at = point_add(at, point_scale(aside, i / BETWEEN_POINTS - 1));
        seen = paper_at(sheet, at, &paper);
        lit += seen == PAPER_LIT;
        count += seen != PAPER_NONE;
    }
    return lit >= wanted ? PAPER_GOES_ON : count >= wanted ? PAPER_IN_SHADOW : PAPER_PARTED;
}

/* A cell is inked all over; a title or a label shows paper between its strokes. */
static bool is_inked(const struct sheet *sheet, int column, int row, const struct rgb *paper)
{
    int count = 0;

    for (int i = 0; i < 9; i++) {
        struct point place = {column + 0.5 + INKED_STEP * (i % 3 - 1),
                              row + 0.5 + INKED_STEP * (i / 3 - 1)};
        struct against_paper ratio;

        count += hold_against(sheet, warp_apply(&sheet->warp, place), paper, &ratio) &&
                 ratio.least < SEEN_RATIO;
    }
    return count >= INKED_POINTS_MIN;
}

/* Whether paper shows on the way from the nearest cell to a place beside the chart. */
static bool paper_before(const struct sheet *sheet, struct point at, const struct rgb *paper)
{
    const struct lattice_node *nearest = sheet_nearest(sheet, at);

    for (int i = 0; i < WAY_POINTS; i++) {
        double part = WAY_START + (1 - WAY_START) * i / (WAY_POINTS - 1);

        if (paper_at(sheet, point_between(nearest->region.centre, at, part), paper) != PAPER_NONE)
            return true;
    }
    return false;
}

bool sheet_ink_goes_on(const struct sheet *sheet, int column, int row)
{
    struct point at = warp_apply(&sheet->warp, (struct point){column + 0.5, row + 0.5});
    struct rgb paper;

    return !view_on_card(sheet->view, at) &&
           paper_beside(sheet, sheet_nearest(sheet, at), &paper) &&
           is_inked(sheet, column, row, &paper) && !paper_before(sheet, at, &paper);
}

/* Which of the points in the inner part of a cell are ink, and the sums of their light against
 * paper's, channel by channel. */
struct inked {
    bool at[HATCHED_POINTS][HATCHED_POINTS];
    double sum[3];
};

/* From a cell's middle to one of the points that are looked at across it, in pitches. */
static double step_along(const struct sheet *sheet, enum axis axis, int point)
{
    return HATCHED_PART * sheet->usual.half[axis] * (2.0 * point / (HATCHED_POINTS - 1) - 1);
}

/* The paper just outside the corners of a cell, in the light there; where something lies on it, as
 * elsewhere. */
static bool paper_outside(const struct sheet *sheet, struct point at, struct rgb corner[4])
{
    const struct lattice_node *nearest = sheet_nearest(sheet, at);
    struct quad corners = corners_around(sheet, nearest, &sheet->usual, at);
    struct rgb usual;
    int bare = -1;
    bool is_bare[4];

    if (!paper_beside(sheet, nearest, &usual) ||
        !sheet_paper_around(sheet, nearest, &sheet->usual, at))
        return false;
    for (int i = 0; i < 4; i++) {
        is_bare[i] = paper_at(sheet, corners.corner[i], &usual) != PAPER_NONE &&
                     sampling_glance(sheet->view->photo, corners.corner[i], 1, &corner[i]);
        bare = is_bare[i] ? i : bare;
    }
    for (int i = 0; i < 4 && bare >= 0; i++)
        corner[i] = is_bare[i] ? corner[i] : corner[bare];
    return bare >= 0;
}

/* Between the corners, clockwise from the upper left, x and y from 0 to 1. */
static struct rgb between_corners(const struct rgb corner[4], double x, double y)
{
    struct rgb rgb;

    for (int k = 0; k < 3; k++)
        rgb.channel[k] = (1 - y) * ((1 - x) * corner[0].channel[k] + x * corner[1].channel[k]) +
                         y * (x * corner[2].channel[k] + (1 - x) * corner[3].channel[k]);
    return rgb;
}

static void look_over(const struct sheet *sheet, int column, int row, const struct rgb paper[4],
                      struct inked *inked)
{
    for (int down = 0; down < HATCHED_POINTS; down++)
        for (int across = 0; across < HATCHED_POINTS; across++) {
            struct point place = {column + 0.5 + step_along(sheet, AXIS_COLUMN, across),
                                  row + 0.5 + step_along(sheet, AXIS_ROW, down)};
            struct rgb bare = between_corners(paper, across / (HATCHED_POINTS - 1.0),
                                              down / (HATCHED_POINTS - 1.0));
            struct rgb rgb;

            inked->at[down][across] =
                sampling_glance(sheet->view->photo, warp_apply(&sheet->warp, place), 1, &rgb) &&
                dimmest_ratio(&rgb, &bare) < SEEN_RATIO;
            for (int k = 0; inked->at[down][across] && k < 3; k++)
                inked->sum[k] += rgb.channel[k] / bare.channel[k];
        }
}

/* The part of the points that are ink; none, unless some are in each of nine parts. */
static double ink_all_over(const struct inked *inked)
{
    int part[9] = {0}, sum = 0, bare = 0;

    for (int i = 0; i < HATCHED_POINTS * HATCHED_POINTS; i++) {
        int across = i % HATCHED_POINTS, down = i / HATCHED_POINTS;

        part[down * 3 / HATCHED_POINTS * 3 + across * 3 / HATCHED_POINTS] +=
            inked->at[down][across];
        sum += inked->at[down][across];
    }
    for (int i = 0; i < 9; i++)
        bare += !part[i];
    return bare ? 0 : sum / (double)(HATCHED_POINTS * HATCHED_POINTS);
}

static bool ink_and_paper_by_turns(const struct inked *inked)
{
    int across = 0, down = 0;

    for (int i = 0; i < HATCHED_POINTS; i++)
        for (int j = 1; j < HATCHED_POINTS; j++) {
            across += inked->at[i][j] != inked->at[i][j - 1];
            down += inked->at[j][i] != inked->at[j - 1][i];
        }
    return fmax(across, down) >= HATCHED_TURNS * HATCHED_POINTS;
}

bool sheet_hatched(const struct sheet *sheet, int column, int row, double tint[2])
{
    struct point at = warp_apply(&sheet->warp, (struct point){column + 0.5, row + 0.5});
    struct inked inked = {.sum = {0, 0, 0}};
    struct rgb paper[4];
    double part;

    if (view_on_card(sheet->view, at) || !paper_outside(sheet, at, paper))
        return false;
    look_over(sheet, column, row, paper, &inked);
    part = ink_all_over(&inked);
    tint[0] = log((inked.sum[0] + LEAST) / (inked.sum[1] + LEAST));
    tint[1] = log((inked.sum[2] + LEAST) / (inked.sum[1] + LEAST));
    return part > HATCHED_BLURRED || (part > HATCHED_MIN && ink_and_paper_by_turns(&inked));
}
