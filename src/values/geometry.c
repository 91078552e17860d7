#include "values/geometry.h"

#include "base/memory.h"
#include "values/linear.h"

#include <math.h>
#include <stdlib.h>

#define FLAT 1e-9

struct point quad_centre(const struct quad *quad)
{
    struct point sum = {0, 0};

    for (int i = 0; i < 4; i++)
        sum = point_add(sum, quad->corner[i]);
    return point_scale(sum, 0.25);
}

double quad_area(const struct quad *quad)
{
    return point_cross(point_subtract(quad->corner[2], quad->corner[0]),
                       point_subtract(quad->corner[3], quad->corner[1])) /
           2;
}

static double turn_at(const struct quad *quad, int i)
{
    struct point a = quad->corner[i];
    struct point b = quad->corner[(i + 1) % 4];
    struct point c = quad->corner[(i + 2) % 4];

    return point_cross(point_subtract(b, a), point_subtract(c, b));
}

bool quad_is_convex(const struct quad *quad)
{
    for (int i = 0; i < 4; i++)
        if (!(turn_at(quad, i) > 0))
            return false;
    return true;
}

bool quad_contains(const struct quad *quad, struct point point)
{
    for (int i = 0; i < 4; i++) {
        struct point a = quad->corner[i];
        struct point b = quad->corner[(i + 1) % 4];

        if (point_cross(point_subtract(b, a), point_subtract(point, a)) < 0)
            return false;
    }
    return true;
}

struct quad quad_inset(const struct quad *quad, double fraction)
{
    struct quad inner;

    for (int i = 0; i < 4; i++) {
        struct point here = quad->corner[i];
        struct point next = point_subtract(quad->corner[(i + 1) % 4], here);
        struct point previous = point_subtract(quad->corner[(i + 3) % 4], here);

        inner.corner[i] = point_add(here, point_scale(point_add(next, previous), fraction));
    }
    return inner;
}

struct quad quad_unit(void)
{
    return (struct quad){{{0, 0}, {1, 0}, {1, 1}, {0, 1}}};
}

/* Scale and shift that bring points to order one, so that the equations are well conditioned. */
static struct homography conditioner(const struct point *points, size_t count)
{
    struct point mean = {0, 0};
    double spread = 0;

    for (size_t i = 0; i < count; i++)
        mean = point_add(mean, point_scale(points[i], 1.0 / (double)count));
    for (size_t i = 0; i < count; i++)
        spread += point_distance(points[i], mean) / (double)count;
    spread = spread > 0 ? spread : 1.0;
    return (struct homography){
        {1 / spread, 0, -mean.x / spread, 0, 1 / spread, -mean.y / spread, 0, 0, 1}};
}

static void homography_equations(struct point from, struct point to, double *design, double *target)
{
    const double rows[16] = {from.x, from.y, 1, 0,      0,      0, -to.x * from.x, -to.x * from.y,
                             0,      0,      0, from.x, from.y, 1, -to.y * from.x, -to.y * from.y};

    for (int i = 0; i < 16; i++)
        design[i] = rows[i];
    target[0] = to.x;
    target[1] = to.y;
}

/* Three points on one line fit a map all the same: one that squeezes the plane to a line. */
static bool is_flat(const struct homography *homography)
{
    const double *m = homography->m;
    double determinant = m[0] * (m[4] * m[8] - m[5] * m[7]) - m[1] * (m[3] * m[8] - m[5] * m[6]) +
                         m[2] * (m[3] * m[7] - m[4] * m[6]);
    double size = 0;

    for (int i = 0; i < 9; i++)
        size = fmax(size, fabs(m[i]));
    return !(fabs(determinant) > FLAT * size * size * size);
}

static enum status fit_conditioned(const struct homography_points *points,
                                   struct homography *homography, struct error *error)
{
    const struct point *from = points->from, *to = points->to;
    const size_t count = points->count;
    const double stiffness = points->stiffness;
    const double ridge[8] = {0, 0, 0, 0, 0, 0, stiffness, stiffness};
    struct homography first = conditioner(from, count);
    struct homography second = conditioner(to, count);
    double *design = memory_array(count * 20, sizeof *design, "a projective fit", error);
    double *target = design ? design + count * 16 : NULL;
    double *weights = design ? design + count * 18 : NULL;
    struct homography middle = {{0, 0, 0, 0, 0, 0, 0, 0, 1}};
    struct homography undo = homography_invert(&second);
    struct linear_problem problem = {design, target, weights, ridge, 2 * count, 8, 1};
    enum status status;

    if (!design)
        return error->status;
    for (size_t i = 0; i < count; i++) {
        homography_equations(homography_apply(&first, from[i]), homography_apply(&second, to[i]),
                             design + 16 * i, target + 2 * i);
        weights[2 * i] = weights[2 * i + 1] = points->weight ? points->weight[i] : 1.0;
    }
    status = linear_least_squares(&problem, middle.m, error);
    free(design);
    if (status)
        return status;
    if (is_flat(&middle))
        return error_set(error, STATUS_NOT_FOUND,
                         "%zu points do not fix a projective map: three lie on one line", count);
    middle = homography_compose(&middle, &first);
    *homography = homography_compose(&undo, &middle);
    return STATUS_OK;
}

enum status homography_fit(const struct homography_points *points, struct homography *homography,
                           struct error *error)
{
    if (points->count < 4)
        return error_set(error, STATUS_NOT_FOUND,
                         "%zu points were given for a projective map, 4 or more are needed",
                         points->count);
    return fit_conditioned(points, homography, error);
}

enum status homography_from_quad(const struct quad *quad, struct homography *homography,
                                 struct error *error)
{
    struct quad unit = quad_unit();
    struct homography_points points = {unit.corner, quad->corner, NULL, 4, 0};

    return homography_fit(&points, homography, error);
}

struct point homography_apply(const struct homography *homography, struct point point)
{
    const double *m = homography->m;
    double w = m[6] * point.x + m[7] * point.y + m[8];

    return (struct point){(m[0] * point.x + m[1] * point.y + m[2]) / w,
                          (m[3] * point.x + m[4] * point.y + m[5]) / w};
}

static struct homography normalised(struct homography homography)
{
    double last = homography.m[8];

    if (fabs(last) > 0)
        for (int i = 0; i < 9; i++)
            homography.m[i] /= last;
    return homography;
}

struct homography homography_invert(const struct homography *homography)
{
    struct homography inverse;

    linear_invert_3x3(homography->m, inverse.m);
    return normalised(inverse);
}

struct homography homography_compose(const struct homography *second,
                                     const struct homography *first)
{
    struct homography product;

    linear_multiply_3x3(second->m, first->m, product.m);
    return normalised(product);
}

struct quad homography_cell(const struct homography *homography, double row, double column)
{
    struct quad unit = quad_unit();
    struct quad cell;

    for (int i = 0; i < 4; i++) {
        struct point corner = {unit.corner[i].x + column, unit.corner[i].y + row};

        cell.corner[i] = homography_apply(homography, corner);
    }
    return cell;
}
