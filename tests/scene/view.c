#include "view.h"

#include "basics.h"

#include <math.h>

#include <gsl/gsl_math.h>

static void multiply(double a[3][3], double b[3][3], double product[3][3])
{
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            product[i][j] = a[i][0] * b[0][j] + a[i][1] * b[1][j] + a[i][2] * b[2][j];
}

static void turn_about_axis(double degrees, double turn[3][3])
{
    double c = cos(degrees * M_PI / 180.0), s = sin(degrees * M_PI / 180.0);
    double matrix[3][3] = {{c, -s, 0.0}, {s, c, 0.0}, {0.0, 0.0, 1.0}};

    for (int i = 0; i < 9; i++)
        turn[i / 3][i % 3] = matrix[i / 3][i % 3];
}

static void set_rotation(struct view *view, const struct stance *stance)
{
    double c = cos(stance->tilt_degrees * M_PI / 180.0);
    double s = sin(stance->tilt_degrees * M_PI / 180.0);
    double lean[3][3] = {{1.0, 0.0, 0.0}, {0.0, c, -s}, {0.0, s, c}};
    double there[3][3], back[3][3], half[3][3];

    turn_about_axis(stance->azimuth_degrees, there);
    turn_about_axis(stance->roll_degrees - stance->azimuth_degrees, back);
    multiply(lean, there, half);
    multiply(back, half, view->rotation);
}

double view_radius(const struct view *view, double x, double y)
{
    return hypot(x - view->centre.x, y - view->centre.y) / view->half_diagonal_px;
}

/* The table maps the distorted radius, to 1.25 corner distances, to the factor that undoes it. */
static void set_lens(struct view *view, double distortion)
{
    view->distortion = distortion;
    for (int i = 0; i <= UNDISTORT_STEPS; i++) {
        double seen = 1.25 * i / UNDISTORT_STEPS;
        double straight = seen;

        for (int round = 0; round < 30; round++)
            straight = seen / (1.0 + distortion * straight * straight);
        view->undistort[i] = i ? straight / seen : 1.0;
    }
}

struct point view_project(const struct view *view, struct point point, double height)
{
    double offset[3] = {point.x - view->eye.x, point.y - view->eye.y, view->eye_height - height};
    double seen[3], x, y, factor;

    for (int i = 0; i < 3; i++)
        seen[i] = view->rotation[i][0] * offset[0] + view->rotation[i][1] * offset[1] +
                  view->rotation[i][2] * offset[2];
    x = seen[0] / seen[2] * view->focal_px;
    y = seen[1] / seen[2] * view->focal_px;
    factor = 1.0 + view->distortion * (x * x + y * y) / square(view->half_diagonal_px);
    return (struct point){view->centre.x + factor * x, view->centre.y + factor * y};
}

void view_ray(const struct view *view, double x, double y, double direction[3])
{
    double place = clamp(view_radius(view, x, y) / 1.25, 0.0, 0.999) * UNDISTORT_STEPS;
    int low = (int)place;
    double factor =
        view->undistort[low] + (place - low) * (view->undistort[low + 1] - view->undistort[low]);
    double seen[3] = {(x - view->centre.x) * factor / view->focal_px,
                      (y - view->centre.y) * factor / view->focal_px, 1.0};

    for (int i = 0; i < 3; i++)
        direction[i] = view->rotation[0][i] * seen[0] + view->rotation[1][i] * seen[1] +
                       view->rotation[2][i] * seen[2];
}

struct point view_meet(const struct view *view, const double direction[3], double height)
{
    double way = (view->eye_height - height) / fmax(direction[2], 1e-6);

    return (struct point){view->eye.x + way * direction[0], view->eye.y + way * direction[1]};
}

static void place_eye(struct view *view, struct point target, double distance)
{
    view->eye.x = target.x - distance * view->rotation[2][0];
    view->eye.y = target.y - distance * view->rotation[2][1];
    view->eye_height = distance * view->rotation[2][2];
}

struct view view_fit(const struct stance *stance, int width_px, int height_px,
                     const struct point *points, int count)
{
    struct view view = {.width_px = width_px,
                        .height_px = height_px,
                        .centre = {width_px / 2.0, height_px / 2.0},
                        .focal_px = stance->focal_widths * fmax(width_px, height_px),
                        .half_diagonal_px = hypot(width_px, height_px) / 2.0};
    struct point target = {0.0, 0.0};
    double distance = 800.0;

    set_rotation(&view, stance);
    set_lens(&view, stance->distortion);
    for (int round = 0; round < 40; round++) {
        struct point low = {1e9, 1e9}, high = {-1e9, -1e9};
        double direction[3];

        place_eye(&view, target, distance);
        for (int i = 0; i < count; i++) {
            struct point seen = view_project(&view, points[i], 0.0);

            low = (struct point){fmin(low.x, seen.x), fmin(low.y, seen.y)};
            high = (struct point){fmax(high.x, seen.x), fmax(high.y, seen.y)};
        }
        view_ray(&view, (low.x + high.x) / 2.0, (low.y + high.y) / 2.0, direction);
        target = view_meet(&view, direction, 0.0);
        distance *= fmax((high.x - low.x) / width_px, (high.y - low.y) / height_px) / stance->fill;
    }
    return view;
}
