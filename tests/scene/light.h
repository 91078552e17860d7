#ifndef SCENE_LIGHT_H
#define SCENE_LIGHT_H

#include "camera.h"
#include "view.h"

/*
 * How much of each light source falls where on the desk.
 */

enum { GLARES_ANYWHERE = 6, CARD_GLARES = 3, CELL_GLARES = 4 };
enum { GLARES_MAX = GLARES_ANYWHERE + CARD_GLARES + CELL_GLARES };

struct light {
    struct point centre; /* mm; gradients are taken about it */
    double reach_mm;     /* half the size of what matters */
    struct {
        double amount;
        double slope_x, slope_y; /* change over `reach_mm` */
        double bow;              /* quadratic fall-off at `reach_mm` */
    } source[LIGHTS];
    double shadow_depth; /* 0 none, 1 black, of the first source */
    struct point shadow_place, shadow_normal;
    double shadow_softness_mm;
    int glares;
    struct {
        struct point place;
        double radius_mm, stretch, strength;
    } glare[GLARES_MAX];
};

/** The amount of each source that falls on a place. */
void light_at(const struct light *light, struct point place, double amount[LIGHTS]);

/** The part of the first source mirrored into the camera. */
double light_glare_at(const struct light *light, struct point place);

#endif
