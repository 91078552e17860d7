#include "location/ink.h"

#include "vision/sampling.h"

#include <math.h>

#define CELL_HALF 0.12 /* of the pitch: half the side of the square looked at inside a cell */
#define GAP_HALF 0.06  /* the same for the gap where four cells meet */
#define GLANCE_RADIUS_MAX_PX 6.0
#define SEEN_RATIO 0.90 /* darker than this against the paper beside it, in any channel, is ink */
#define NONE_RATIO 0.96 /* lighter is paper */
#define PAPER_GAPS_MIN 3
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

/* Cells beside the sheet's edge have two gaps on it; those of the chart four, or three by a mark.
 */
static bool on_paper(const struct photo *photo, const struct warp *warp,
                     const struct lattice_node *node, const struct rgb *white)
{
    int count = 0;

    for (int i = 0; i < 4; i++) {
        struct point gap = {node->column + i % 2, node->row + i / 2};
        struct rgb rgb;

        count += glance(photo, warp, gap, GAP_HALF, &rgb) &&
                 dimmest_ratio(&rgb, white) > PAPER_RATIO_MIN;
    }
    return count >= PAPER_GAPS_MIN;
}

void ink_keep_on_paper(const struct photo *photo, const struct warp *warp,
                       const struct card_pose *card, struct lattice *lattice)
{
    struct point white_at = quad_centre(&card->patch[CARD_FIRST_NEUTRAL]);
    struct rgb white;
    size_t kept = 0;

    if (!sampling_glance(photo, white_at, 2, &white))
        return; /* nothing to hold paper against */
    for (size_t i = 0; i < lattice->count; i++)
        if (on_paper(photo, warp, &lattice->nodes[i], &white))
            lattice->nodes[kept++] = lattice->nodes[i];
    lattice->count = kept;
}

enum ink ink_look(const struct photo *photo, const struct warp *warp, int column, int row)
{
    struct rgb cell, paper = {{0, 0, 0}};
    double ratio;

    if (!glance(photo, warp, (struct point){column + 0.5, row + 0.5}, CELL_HALF, &cell))
        return INK_UNSURE;
    for (int i = 0; i < 4; i++) {
        struct rgb gap;

        if (glance(photo, warp, (struct point){column + i % 2, row + i / 2}, GAP_HALF, &gap) &&
            brightness(&gap) > brightness(&paper))
            paper = gap;
    }
    ratio = dimmest_ratio(&cell, &paper);
    return ratio < SEEN_RATIO ? INK_SEEN : ratio > NONE_RATIO ? INK_NONE : INK_UNSURE;
}

bool ink_is_on_paper(const struct photo *photo, const struct homography *inverse,
                     const struct cell_box *box, const struct card_pose *card)
{
    struct homography map = homography_invert(inverse);
    struct rgb white;
    int count = 0;

    if (!sampling_glance(photo, quad_centre(&card->patch[CARD_FIRST_NEUTRAL]), 2, &white))
        return false;
    for (int i = 0; i < 4; i++) {
        struct point corner = {box->middle.x + (i % 2 ? box->half_column : -box->half_column),
                               box->middle.y + (i / 2 ? box->half_row : -box->half_row)};
        struct rgb rgb;

        count += sampling_glance(photo, homography_apply(&map, corner), 1, &rgb) &&
                 dimmest_ratio(&rgb, &white) > PAPER_RATIO_MIN;
    }
    return count >= PAPER_GAPS_MIN;
}
