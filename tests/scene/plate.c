#include "plate.h"

#include "basics.h"

#include <math.h>

#include <gsl/gsl_math.h>

struct plate plate_make(struct point centre, double degrees, double width, double height_along_y,
                        double thickness)
{
    return (struct plate){.centre = centre,
                          .cosine = cos(degrees * M_PI / 180.0),
                          .sine = sin(degrees * M_PI / 180.0),
                          .half_width = width / 2.0,
                          .half_height = height_along_y / 2.0,
                          .height = thickness};
}

struct point plate_local(const struct plate *plate, struct point desk)
{
    double x = desk.x - plate->centre.x, y = desk.y - plate->centre.y;

    return (struct point){plate->cosine * x + plate->sine * y, plate->cosine * y - plate->sine * x};
}

struct point plate_desk(const struct plate *plate, struct point local)
{
    return (struct point){plate->centre.x + plate->cosine * local.x - plate->sine * local.y,
                          plate->centre.y + plate->sine * local.x + plate->cosine * local.y};
}

double plate_distance(const struct plate *plate, struct point local, double radius)
{
    double x = fabs(local.x) - plate->half_width + radius;
    double y = fabs(local.y) - plate->half_height + radius;

    if (x > 0.0 && y > 0.0)
        return sqrt(x * x + y * y) - radius;
    return fmax(x, y) - radius;
}

/* Rim points of one against the other; fine enough for rectangles of like size. */
static int rim_apart(const struct plate *a, const struct plate *b, double gap_mm)
{
    enum { POINTS = 9 };

    for (int i = 0; i < POINTS; i++)
        for (int j = 0; j < POINTS; j++) {
            struct point local = {a->half_width * (2.0 * i / (POINTS - 1) - 1.0),
                                  a->half_height * (2.0 * j / (POINTS - 1) - 1.0)};

            if (plate_distance(b, plate_local(b, plate_desk(a, local)), 0.0) < gap_mm)
                return 0;
        }
    return 1;
}

int plates_apart(const struct plate *a, const struct plate *b, double gap_mm)
{
    return rim_apart(a, b, gap_mm) && rim_apart(b, a, gap_mm);
}

double coverage(double distance_mm, double width_mm)
{
    return clamp(0.5 - distance_mm / width_mm, 0.0, 1.0);
}

void colour_over(struct response *colour, const struct response *above, double coverage)
{
    float part = (float)coverage;

    for (int i = 0; i < LIGHTS; i++)
        for (int k = 0; k < 3; k++)
            colour->rgb[i][k] += part * (above->rgb[i][k] - colour->rgb[i][k]);
}

void colour_scale(struct response *colour, double factor)
{
    for (int i = 0; i < LIGHTS; i++)
        for (int k = 0; k < 3; k++)
            colour->rgb[i][k] *= (float)factor;
}

void plate_cast_shadow(const struct plate *plate, const struct sight *sight, double reach_mm,
                       struct response *colour)
{
    struct point shifted = {sight->desk.x - 0.45 * reach_mm, sight->desk.y - 0.3 * reach_mm};
    double distance = plate_distance(plate, plate_local(plate, shifted), 0.0);

    if (distance < reach_mm)
        colour_scale(colour, 1.0 - 0.5 * (1.0 - soft_step(-0.6 * reach_mm, reach_mm, distance)));
}
