#ifndef WOAD_VALUES_GEOMETRY_H
#define WOAD_VALUES_GEOMETRY_H

#include "base/error.h"

#include <math.h>
#include <stdbool.h>
#include <stddef.h>

/*
 * Points are in pixels, x right, y down, (0.5, 0.5) the centre of the first
 * pixel, unless a function says otherwise. A quad's corners run clockwise as
 * seen on the screen, from its own top left.
 */
struct point {
    double x;
    double y;
};

struct quad {
    struct point corner[4];
};

/* A plane projective map, row by row; m[8] is 1 wherever the map is finite at the origin. */
struct homography {
    double m[9];
};

static inline struct point point_add(struct point a, struct point b)
{
    return (struct point){a.x + b.x, a.y + b.y};
}

static inline struct point point_subtract(struct point a, struct point b)
{
    return (struct point){a.x - b.x, a.y - b.y};
}

static inline struct point point_scale(struct point a, double factor)
{
    return (struct point){a.x * factor, a.y * factor};
}

static inline struct point point_between(struct point a, struct point b, double fraction)
{
    return point_add(a, point_scale(point_subtract(b, a), fraction));
}

static inline double point_distance(struct point a, struct point b)
{
    return sqrt((a.x - b.x) * (a.x - b.x) + (a.y - b.y) * (a.y - b.y));
}

/** The z component of a x b: positive when b lies clockwise of a on the screen. */
static inline double point_cross(struct point a, struct point b)
{
    return a.x * b.y - a.y * b.x;
}

struct point quad_centre(const struct quad *quad);

/**
 * Measure the area of a quad.
 *
 * Returns: square pixels; negative when the corners run anticlockwise.
 */
double quad_area(const struct quad *quad);

/** Tell whether a quad is convex with its corners clockwise. */
bool quad_is_convex(const struct quad *quad);

bool quad_contains(const struct quad *quad, struct point point);

/**
 * Move a quad's sides inwards.
 *
 * Units:   `fraction` of the side's length left out at each rim, 0 to 0.5;
 *          negative widens.
 */
struct quad quad_inset(const struct quad *quad, double fraction);

/** The unit square's corners, clockwise from (0, 0). */
struct quad quad_unit(void);

/* Pairs of points for a projective fit. */
struct homography_points {
    const struct point *from;
    const struct point *to;
    const double *weight; /* NULL, or one a point */
    size_t count;         /* 4 or more */
    double stiffness;     /* 0; more holds back perspective that few points don't bear out */
};

/**
 * Fit the projective map that takes `from` to `to`, by least squares.
 *
 * Returns: STATUS_OK; STATUS_NOT_FOUND if the points do not fix a map (too few,
 *          or on one line).
 */
MUST_USE enum status homography_fit(const struct homography_points *points,
                                    struct homography *homography, struct error *error);

/**
 * The map that takes the unit square to a quad.
 *
 * Returns: STATUS_OK; STATUS_NOT_FOUND if three corners lie on one line.
 */
MUST_USE enum status homography_from_quad(const struct quad *quad, struct homography *homography,
                                          struct error *error);

struct point homography_apply(const struct homography *homography, struct point point);

/** Invert a map; a singular one gives a map of zeros. */
struct homography homography_invert(const struct homography *homography);

/** The map that applies `first`, then `second`. */
struct homography homography_compose(const struct homography *second,
                                     const struct homography *first);

/** The quad whose corners are the unit square's corners moved to column x, row y and mapped. */
struct quad homography_cell(const struct homography *homography, double row, double column);

#endif
