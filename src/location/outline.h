#ifndef WOAD_LOCATION_OUTLINE_H
#define WOAD_LOCATION_OUTLINE_H

#include "files/photo.h"
#include "values/geometry.h"

#include <stdbool.h>

/* How a guess at an outline may be off, and what counts as an edge. Lengths are parts of the side.
 */
struct outline_search {
    double out;      /* how far outwards of the guess an edge is looked for */
    double in;       /* and how far inwards */
    double unlike;   /* how unlike its sides may move */
    double edge_min; /* of 65535 over two pixels: what is weaker is no edge */
    bool onto_paper; /* ink ends where it gets lighter */
};

/* A region shows its cell a little too small on every side alike: one side that moves otherwise
 * lies on another edge, as of a drawn outline. */
extern const struct outline_search outline_of_region;
/* A guess from elsewhere may be off to one side. */
extern const struct outline_search outline_shifted;
/* A guess that is nearly right, as from a cell's neighbours: its own edge may be weak. */
extern const struct outline_search outline_near;

/**
 * Move an outline's sides onto the edges seen in the photo.
 *
 * Each side is crossed by scans from the inside outwards; where they leave the
 * ink makes a line, robustly, and the lines meet in the corners.
 *
 * Shape:   `outline` a guess, clockwise.
 * Units:   `corner_error` in parts of the side: how far off 1 corner in 100 may be, by how blurred
 *          and how rough the edges are; from rendered photos.
 * Returns: false, with `outline` as it was and `corner_error` INFINITY, where the edges do not make
 *          a plausible outline (blank cell, blot, edge hidden).
 */
bool outline_refine(const struct photo *photo, const struct outline_search *search,
                    struct quad *outline, double *corner_error);

#endif
