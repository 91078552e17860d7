#ifndef SCENE_PLATE_H
#define SCENE_PLATE_H

#include "camera.h"
#include "view.h"

/*
 * A flat rectangular thing lying on the desk, and the colour that builds up
 * in a pixel as things are laid over one another.
 */

struct plate {
    struct point centre; /* mm on the desk */
    double cosine, sine;
    double half_width, half_height, height; /* mm */
};

/** One pixel's line of sight. */
struct sight {
    const struct view *view;
    double direction[3];
    struct point desk;   /* where it meets the desk */
    double footprint_mm; /* the size of the pixel there */
};

struct plate plate_make(struct point centre, double degrees, double width, double height_along_y,
                        double thickness);
struct point plate_local(const struct plate *plate, struct point desk);
struct point plate_desk(const struct plate *plate, struct point local);

/** Distance from the plate's rim, rounded by `radius`; negative inside. */
double plate_distance(const struct plate *plate, struct point local, double radius);

/** True if two plates, seen from above, are nowhere nearer than `gap_mm`. */
int plates_apart(const struct plate *a, const struct plate *b, double gap_mm);

/** The part of a pixel inside an edge `distance_mm` away (negative inside). */
double coverage(double distance_mm, double width_mm);

void colour_over(struct response *colour, const struct response *above, double coverage);
void colour_scale(struct response *colour, double factor);

/** Darken the ground around a thing: `reach_mm` of soft shadow, offset away from the window. */
void plate_cast_shadow(const struct plate *plate, const struct sight *sight, double reach_mm,
                       struct response *colour);

#endif
