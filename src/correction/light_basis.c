#include "light_basis.h"

#include <math.h>
#include <string.h>

#define STEPS (LIGHT_KNOTS - 2) /* between knots; a quadratic spline reaches over three */

/* Prior standard deviations of the level, our own judgement of room light: the fall over the
 * whole field, and the swerves of a sheet that curls and of a desk that shines. */
static const double falls[LIGHT_SWERVES] = {0.3, 0.3, 0.08, 0.08, 0.08};
#define FALL 0.1
#define SWERVE_OF_PAPER 0.015
#define SWERVE_OF_DESK 0.005

#define HELD 1e13 /* the precision of what is known */
#define LOOSE 1e-4

/* --- the edge of a shadow --- */

double light_shadow_depth(const struct light_shadow *shadow, struct point at)
{
    double x = at.x, y = at.y;
    double across = x * shadow->normal.x + y * shadow->normal.y - shadow->distance;
    double along = y * shadow->normal.x - x * shadow->normal.y;
    double way = (across + shadow->bend * along * along) / shadow->half_width;
    double t = fmin(fmax((way + 1) / 2, 0), 1);

    return t * t * (3 - 2 * t);
}

struct point light_own_place(const struct light_field *field, struct point at)
{
    struct point size = point_subtract(field->high, field->low);
    struct point from = point_subtract(at, point_between(field->low, field->high, 0.5));

    return point_scale(from, 2 / fmax(size.x, size.y));
}

/* How deep in the shadow a place lies; 0 where there is none. */
static double shadow_at(const struct light_field *field, struct point at)
{
    return field->shadow.found ? light_shadow_depth(&field->shadow, light_own_place(field, at)) : 0;
}

/* --- rows --- */

static void add_term(struct light_row *row, int unknown, double factor)
{
    row->unknown[row->count] = unknown;
    row->factor[row->count++] = factor;
}

/* The three quadratic splines at a place between 0 and 1, and the first of them. */
static int splines_at(double place, double splines[3])
{
    double x = fmin(fmax(place, 0), 1) * STEPS;
    int first = x < STEPS - 1 ? (int)x : STEPS - 1;
    double part = x - first;

    splines[0] = 0.5 * (1 - part) * (1 - part);
    splines[1] = 0.5 + part * (1 - part);
    splines[2] = 0.5 * part * part;
    return first;
}

/* A swerve about a middle, in steps of half a size. */
static void add_swerve(struct point from_middle, double half_px, int first, struct light_row *row)
{
    double x = from_middle.x / half_px, y = from_middle.y / half_px;
    const double terms[LIGHT_SWERVES] = {x, y, x * x, x * y, y * y};

    for (int i = 0; i < LIGHT_SWERVES; i++)
        add_term(row, first + i, terms[i]);
}

static struct point inside(const struct light_field *field, struct point at)
{
    return (struct point){fmin(fmax(at.x, field->low.x), field->high.x),
                          fmin(fmax(at.y, field->low.y), field->high.y)};
}

struct light_row light_row_of_field(const struct light_field *field, struct point at)
{
    struct light_row row = {.count = 0};
    struct point size = point_subtract(field->high, field->low);
    struct point place = inside(field, at);
    struct point middle = point_between(field->low, field->high, 0.5);
    double across[3], down[3];
    int column = splines_at((place.x - field->low.x) / size.x, across);
    int line = splines_at((place.y - field->low.y) / size.y, down);

    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            add_term(&row, (line + i) * LIGHT_KNOTS + column + j, down[i] * across[j]);
    add_swerve(point_subtract(place, middle), fmax(size.x, size.y) / 2, LIGHT_SWERVE, &row);
    if (field->shadow.found)
        add_term(&row, LIGHT_OF_SHADOW, shadow_at(field, at));
    return row;
}

struct light_row light_row_between(const struct light_field *field, struct point at,
                                   struct point from)
{
    struct light_row row = light_row_of_field(field, at), less = light_row_of_field(field, from);

    for (int i = 0; i < less.count; i++)
        add_term(&row, less.unknown[i], -less.factor[i]);
    return row;
}

struct light_row light_row_of_surface(const struct light_field *field, struct point at,
                                      enum light_surface surface)
{
    struct light_row row = light_row_of_field(field, at);

    add_term(&row, LIGHT_LEVELS + (int)surface, 1);
    if (surface != LIGHT_CARD && field->sheet_px > 0)
        add_swerve(point_subtract(inside(field, at), field->sheet_centre), field->sheet_px,
                   surface == LIGHT_PAPER ? LIGHT_SWERVE_OF_PAPER : LIGHT_SWERVE_OF_DESK, &row);
    return row;
}

void light_row_add(const struct light_row *row, double weight, double *matrix)
{
    for (int i = 0; i < row->count; i++) {
        const double weighted = weight * row->factor[i];
        const int here = row->unknown[i];

        for (int j = 0; j <= i; j++) {
            int other = row->unknown[j];
            int place =
                here > other ? here * LIGHT_UNKNOWNS + other : other * LIGHT_UNKNOWNS + here;

            matrix[place] += weighted * row->factor[j];
        }
    }
}

/* --- prior --- */

static int spline(int line, int column)
{
    return line * LIGHT_KNOTS + column;
}

/* A difference of splines, in steps along a line or a column. */
static void add_difference(const int *unknowns, const double *factors, int count, double deviation,
                           double *matrix)
{
    struct light_row row = {.count = 0};

    for (int i = 0; i < count; i++)
        add_term(&row, unknowns[i], factors[i]);
    light_row_add(&row, 1 / (deviation * deviation), matrix);
}

static void hold_bends(double deviation, double *matrix)
{
    static const double second[3] = {1, -2, 1}, mixed[4] = {1, -1, -1, 1};

    for (int i = 0; i < LIGHT_KNOTS; i++)
        for (int j = 0; j + 2 < LIGHT_KNOTS; j++) {
            const int across[3] = {spline(i, j), spline(i, j + 1), spline(i, j + 2)};
            const int down[3] = {spline(j, i), spline(j + 1, i), spline(j + 2, i)};

            add_difference(across, second, 3, deviation, matrix);
            add_difference(down, second, 3, deviation, matrix);
        }
    for (int i = 0; i + 1 < LIGHT_KNOTS; i++)
        for (int j = 0; j + 1 < LIGHT_KNOTS; j++) {
            const int square[4] = {spline(i, j), spline(i, j + 1), spline(i + 1, j),
                                   spline(i + 1, j + 1)};

            add_difference(square, mixed, 4, deviation, matrix);
        }
}

/* The fall over the whole field, as the mean of its steps. */
static void hold_falls(double deviation, double *matrix)
{
    static const double first[2] = {-1, 1};
    double one = deviation / STEPS * sqrt(LIGHT_KNOTS * (LIGHT_KNOTS - 1));

    for (int i = 0; i < LIGHT_KNOTS; i++)
        for (int j = 0; j + 1 < LIGHT_KNOTS; j++) {
            const int across[2] = {spline(i, j), spline(i, j + 1)};
            const int down[2] = {spline(j, i), spline(j + 1, i)};

            add_difference(across, first, 2, one, matrix);
            add_difference(down, first, 2, one, matrix);
        }
}

void light_prior(const struct light_field *field, struct point centre, double share, double bend,
                 double *matrix)
{
    struct light_row middle = light_row_of_field(field, centre);

    memset(matrix, 0, LIGHT_UNKNOWNS * LIGHT_UNKNOWNS * sizeof *matrix);
    light_row_add(&middle, HELD, matrix);
    hold_bends(share * bend, matrix);
    hold_falls(share * FALL, matrix);
    for (int i = 0; i < LIGHT_SWERVES; i++)
        matrix[(LIGHT_SWERVE + i) * (LIGHT_UNKNOWNS + 1)] += pow(share * falls[i], -2);
    for (int i = LIGHT_LEVELS; i < LIGHT_SWERVE_OF_PAPER; i++)
        matrix[i * LIGHT_UNKNOWNS + i] += LOOSE;
    for (int i = LIGHT_SWERVE_OF_PAPER; i < LIGHT_OF_SHADOW; i++)
        matrix[i * LIGHT_UNKNOWNS + i] +=
            pow(share * (i < LIGHT_SWERVE_OF_DESK ? SWERVE_OF_PAPER : SWERVE_OF_DESK), -2);
    matrix[LIGHT_OF_SHADOW * (LIGHT_UNKNOWNS + 1)] += pow(share * LIGHT_SHADOW_DEPTH, -2);
}
