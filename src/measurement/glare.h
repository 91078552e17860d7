#ifndef WOAD_MEASUREMENT_GLARE_H
#define WOAD_MEASUREMENT_GLARE_H

#include "base/error.h"
#include "values/colour.h"
#include "values/geometry.h"

#include <stdbool.h>

/*
 * Glare: light mirrored by the surface of ink or paper. It adds the light's own
 * colour, the same to all inks, and swells and fades over some millimetres like
 * a bell; mottle instead moves a colour along with its density.
 */
#define GLARE_POINTS_MAX 400

/* A place where light was seen, and what it should have been without glare, all over what bare
 * paper gives there. */
struct glare_point {
    struct point at;
    struct rgb over_paper;
    bool is_paper; /* else ink, of one unknown colour */
};

struct glare {
    bool found;
    struct rgb over_paper; /* the ink without it */
    double removed;        /* mean over the ink's points, of the paper's light */
    double uncertain;      /* standard deviation of that, or of what may be glare though none is
                              found: paper around differs from place to place */
};

/**
 * Fit one bell of glare to the points of a cell and of the paper around it.
 *
 * Units:   `size_px` the cell's side.
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status glare_fit(const struct glare_point *points, int count, double size_px,
                               struct glare *glare, struct error *error);

#endif
