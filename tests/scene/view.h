#ifndef SCENE_VIEW_H
#define SCENE_VIEW_H

/*
 * A pinhole camera with a radially distorting lens above a desk. Desk
 * coordinates are mm: x right, y towards the photographer, height up.
 */

enum { UNDISTORT_STEPS = 512 };

struct point {
    double x, y;
};

struct view {
    double rotation[3][3]; /* desk (x, y, down) to camera (right, down, forward) */
    struct point eye;
    double eye_height;
    double focal_px;
    struct point centre;
    int width_px, height_px;
    double half_diagonal_px;
    double distortion; /* radius grows by this fraction at the corner; negative: barrel */
    double undistort[UNDISTORT_STEPS + 1];
};

/** Where the camera is held. */
struct stance {
    double tilt_degrees;    /* away from looking straight down */
    double azimuth_degrees; /* the side towards which it is moved */
    double roll_degrees;
    double focal_widths; /* focal length in widths of the photo's long side */
    double distortion;
    double fill; /* the part of the photo that the points take */
};

/**
 * Hold the camera so that all points just fit.
 *
 * Shape:   `points` on the desk, `count` of them.
 */
struct view view_fit(const struct stance *stance, int width_px, int height_px,
                     const struct point *points, int count);

/** Where a point of the scene lies in the photo. */
struct point view_project(const struct view *view, struct point point, double height);

/** The direction of a pixel's ray: x, y and down. */
void view_ray(const struct view *view, double x, double y, double direction[3]);

/** Where a ray passes a height above the desk. */
struct point view_meet(const struct view *view, const double direction[3], double height);

/** Distance from the photo's centre, 1 at the corner. */
double view_radius(const struct view *view, double x, double y);

#endif
