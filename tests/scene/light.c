#include "light.h"

#include "basics.h"
#include "noise.h"

#include <math.h>

static double shadow_at(const struct light *light, struct point place)
{
    double x = place.x - light->shadow_place.x, y = place.y - light->shadow_place.y;
    double along = x * light->shadow_normal.y - y * light->shadow_normal.x;
    double inside = x * light->shadow_normal.x + y * light->shadow_normal.y +
                    14.0 * noise_smooth(along / 70.0, 0.5, 77u);

    return light->shadow_depth *
           soft_step(-light->shadow_softness_mm, light->shadow_softness_mm, inside);
}

void light_at(const struct light *light, struct point place, double amount[LIGHTS])
{
    double x = (place.x - light->centre.x) / light->reach_mm;
    double y = (place.y - light->centre.y) / light->reach_mm;

    for (int i = 0; i < LIGHTS; i++) {
        double slope = light->source[i].slope_x * x + light->source[i].slope_y * y;
        double bow = light->source[i].bow * (x * x + y * y);

        amount[i] = light->source[i].amount * fmax(0.05, 1.0 + slope - bow);
    }
    if (light->shadow_depth > 0.0)
        amount[0] *= 1.0 - shadow_at(light, place);
}

double light_glare_at(const struct light *light, struct point place)
{
    double sum = 0.0;

    for (int i = 0; i < light->glares; i++) {
        double x = (place.x - light->glare[i].place.x) / light->glare[i].radius_mm;
        double y = (place.y - light->glare[i].place.y) /
                   (light->glare[i].radius_mm * light->glare[i].stretch);
        double distance = x * x + y * y;

        if (distance < 9.0)
            sum += light->glare[i].strength * exp(-distance);
    }
    return sum;
}
