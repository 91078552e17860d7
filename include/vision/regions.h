#ifndef WOAD_VISION_REGIONS_H
#define WOAD_VISION_REGIONS_H

#include "base/error.h"
#include "values/geometry.h"
#include "values/image.h"

#include <stddef.h>

/*
 * A region is a compact patch of even colour bounded by an edge: a card's
 * patch, a swatch, a blank outlined cell, or clutter. Positions are in pixels
 * of the working picture, whatever scale the region was seen at.
 */
struct region {
    struct point centre;
    double area_px;
    double xx, xy, yy;  /* central second moments, square pixels */
    double compactness; /* 1 for a disc, 0.955 for a square, lower the more ragged or hollow */
};

struct regions {
    struct region *items;
    size_t count;
    size_t capacity;
};

/**
 * Find the regions of a picture at several scales and edge strengths.
 *
 * One patch seen several times is listed once, as its neatest and largest sighting; the list runs
 * from left to right.
 *
 * Shape:   `shrink` how many times the working picture is halved before the
 *          first look (1 is usual; 0 for small cards), `looks` how many scales.
 * Owns:    the caller releases `regions` with regions_release.
 * Returns: STATUS_OK, also when none are found; STATUS_MEMORY.
 */
MUST_USE enum status regions_find(const struct image *image, int shrink, int looks,
                                  struct regions *regions, struct error *error);

void regions_release(struct regions *regions);

#endif
