#ifndef WOAD_LOCATION_SIDE_EDGE_H
#define WOAD_LOCATION_SIDE_EDGE_H

#include "outline.h"
#include "values/geometry.h"
#include "values/image.h"

#define SIDE_SCANS 11 /* across each side */

/* One side of a guess at an outline, and how it is scanned: from `in_px` inside of it outwards. */
struct side_scan {
    struct point from;
    struct point to;
    struct point outward; /* of length 1 */
    double in_px;
    double out_px;
};

/* Where scans of a side cross the edge of the ink: those that found it, `count` of them. */
struct side_edge {
    double along[SIDE_SCANS];     /* of the side, from its middle: -0.5 to 0.5 */
    double offset_px[SIDE_SCANS]; /* outwards of the guess */
    int count;
    double blur_px; /* over which the colour changes there */
};

/**
 * Find where a side's scans leave the ink.
 *
 * The scans' mean, out of which mottle falls, tells which edge is the ink's;
 * each scan then tells where it crosses that edge. The edge is where the colour
 * changes most. Where a line is drawn close by, it cuts that change short, so
 * that the edge is then where half of the ink's hue is gone: a line in grey has
 * no hue of its own.
 */
void side_edge_find(const struct image *image, const struct side_scan *side,
                    const struct outline_search *search, struct side_edge *edge);

#endif
