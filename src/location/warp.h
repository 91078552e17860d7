#ifndef WOAD_LOCATION_WARP_H
#define WOAD_LOCATION_WARP_H

#include "base/error.h"
#include "values/geometry.h"
#include "vision/lattice.h"

#define WARP_TERMS_MAX 10

/*
 * A lattice's plane map plus a smooth bend (a polynomial of degree 2 or 3 in
 * column and row) that follows curl of the sheet and lens distortion.
 */
struct warp {
    struct homography map;
    struct lattice_gaps gaps[AXES];
    struct point middle; /* column, row the bend is centred on */
    double reach;        /* columns or rows from there that count as 1 */
    int terms;           /* 0, 6 or 10 */
    double bend[WARP_TERMS_MAX * 2];
};

/**
 * Fit the bend to where a lattice's nodes lie off its map; as many terms as
 * the number of nodes bears.
 *
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status warp_fit(const struct lattice *lattice, struct warp *warp,
                              struct error *error);

/** Where a point of the lattice, in columns and rows, lies in the photo. */
struct point warp_apply(const struct warp *warp, struct point at);

/** An upright box of the lattice, in columns and rows, in the photo. */
struct quad warp_box(const struct warp *warp, struct point top_left, struct point bottom_right);

#endif
