#include "ink.h"

#include "base/memory.h"
#include "vision/sampling.h"

#include <math.h>
#include <stdlib.h>

#define CELL_HALF 0.12 /* of the pitch: half the side of the square looked at inside a cell */
#define GAP_HALF 0.06  /* the same for the gap where four cells meet */
#define GLANCE_RADIUS_MAX_PX 6.0
#define SEEN_RATIO 0.90 /* darker than this against the paper beside it, in any channel, is ink */
#define NONE_RATIO 0.96 /* lighter is paper */
#define PAPER_GAPS_MIN 3
#define AROUND 12         /* places around a region that are looked at */
#define AROUND_REACH 2.75 /* standard deviations: just outside the corners of a square */
#define FULL_TURN 6.283185307179586
#define INKS_MIN 3           /* cells that meet in a gap, from which on it may show their inks */
#define PAPER_RATIO_MIN 0.35 /* of the card's white, in every channel: dimmer is no paper */

/* A quick look at a place of the lattice. */
static bool glance(const struct photo *photo, const struct warp *warp, struct point middle,
                   double half, struct rgb *rgb_linear)
{
    struct quad box = warp_box(warp, (struct point){middle.x - half, middle.y - half},
                               (struct point){middle.x + half, middle.y + half});

    return quad_is_convex(&box) &&
           sampling_glance(photo, quad_centre(&box),
                           (int)fmin(sqrt(quad_area(&box)) / 2, GLANCE_RADIUS_MAX_PX), rgb_linear);
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

static void look_at_gaps(const struct photo *photo, const struct warp *warp,
                         const struct rgb *white, struct gaps *gaps)
{
    for (int i = 0; i < gaps->columns * gaps->rows; i++) {
        struct point at = {i % gaps->columns, i / gaps->columns};
        struct rgb rgb;

        if (!gaps->cells[i])
            continue;
        gaps->kind[i] = gaps->cells[i] >= INKS_MIN ? GAP_INKS : GAP_OTHER;
        if (glance(photo, warp, at, GAP_HALF, &rgb) && dimmest_ratio(&rgb, white) > PAPER_RATIO_MIN)
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

enum status ink_keep_on_paper(const struct photo *photo, const struct warp *warp,
                              const struct card_pose *card, struct lattice *lattice,
                              struct error *error)
{
    struct point white_at = quad_centre(&card->patch[CARD_FIRST_NEUTRAL]);
    struct gaps gaps = {0};
    struct rgb white;
    enum status status = STATUS_OK;
    size_t kept = 0;

    if (!sampling_glance(photo, white_at, 2, &white))
        return STATUS_OK; /* nothing to hold paper against */
    status = gaps_create(lattice, &gaps, error);
    if (!status)
        look_at_gaps(photo, warp, &white, &gaps);
    for (size_t i = 0; !status && i < lattice->count; i++)
        if (on_paper(&gaps, &lattice->nodes[i]))
            lattice->nodes[kept++] = lattice->nodes[i];
    lattice->count = status ? lattice->count : kept;
    gaps_release(&gaps);
    return status;
}

bool ink_paper_beside(const struct photo *photo, const struct warp *warp, int column, int row,
                      struct rgb *paper)
{
    bool found = false;

    for (int i = 0; i < 4; i++) {
        struct rgb gap;

        if (glance(photo, warp, (struct point){column + i % 2, row + i / 2}, GAP_HALF, &gap) &&
            (!found || brightness(&gap) > brightness(paper))) {
            *paper = gap;
            found = true;
        }
    }
    return found;
}

bool ink_in_region(const struct photo *photo, const struct region *region)
{
    /* A root of the moments takes a circle to the region's own shape. */
    double across = sqrt(region->xx), down = region->xy / across;
    double aside = sqrt(fmax(region->yy - down * down, 0));
    struct rgb ink, paper = {{0, 0, 0}};

    if (!sampling_glance(photo, region->centre, 1, &ink))
        return false;
    for (int i = 0; i < AROUND; i++) {
        double x = AROUND_REACH * cos(FULL_TURN * i / AROUND);
        double y = AROUND_REACH * sin(FULL_TURN * i / AROUND);
        struct point at = {region->centre.x + across * x, region->centre.y + down * x + aside * y};
        struct rgb rgb;

        if (sampling_glance(photo, at, 1, &rgb) && brightness(&rgb) > brightness(&paper))
            paper = rgb;
    }
    return brightness(&paper) > 0 && dimmest_ratio(&ink, &paper) < SEEN_RATIO;
}

enum ink ink_look(const struct photo *photo, const struct warp *warp, int column, int row)
{
    struct rgb cell, paper;
    double ratio;

    if (!glance(photo, warp, (struct point){column + 0.5, row + 0.5}, CELL_HALF, &cell) ||
        !ink_paper_beside(photo, warp, column, row, &paper))
        return INK_UNSURE;
    ratio = dimmest_ratio(&cell, &paper);
    return ratio < SEEN_RATIO ? INK_SEEN : ratio > NONE_RATIO ? INK_NONE : INK_UNSURE;
}
