#ifndef WOAD_TESTS_PRINTED_FIXTURE_H
#define WOAD_TESTS_PRINTED_FIXTURE_H

/* Printed corner marks, drawn into a photo as the camera sees them. */

#include "drawing.h"

#include "location/printed_chart.h"

static inline void printed_draw_module(struct photo *photo, const struct homography *map,
                                       struct point at, double side)
{
    struct quad quad = drawing_upright(at.x, at.y, side, side);

    for (int i = 0; i < 4; i++)
        quad.corner[i] = homography_apply(map, quad.corner[i]);
    drawing_quad(photo, &quad, drawing_frame);
}

struct printed_mark {
    int sheet, corner;
};

/* A tag whose upper left corner is at `from`, millimetres of the page. */
static inline void printed_draw_tag(struct photo *photo, const struct homography *map,
                                    struct point from, struct printed_mark mark)
{
    const double module = PRINTED_TAG_MM / TAG_MODULES;
    bool black[TAG_MODULES][TAG_MODULES];

    tag_pattern(mark.sheet, mark.corner, black);
    for (int row = 0; row < TAG_MODULES; row++)
        for (int column = 0; column < TAG_MODULES; column++)
            if (black[row][column])
                printed_draw_module(photo, map,
                                    (struct point){from.x + column * module, from.y + row * module},
                                    module);
}

#endif
