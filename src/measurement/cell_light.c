#include "cell_light.h"

#include "beside.h"

#include <math.h>

#define LOCAL_LIGHT_MAX                                                                            \
    0.35 /* a change of light against the field, beyond which it is no paper                       \
          */

struct rgb cell_light(const struct scene *scene, const struct quad *outline, struct cell *cell)
{
    struct point at = quad_centre(outline);
    struct rgb light, beside;

    if (!scene->paper.count)
        return correction_light(scene->correction, at);
    light = scene_divided(correction_paper_at(scene->correction, at), scene->paper_colour);
    cell->on_paper =
        beside_paper(&scene->paper, scene->paper_rgb, at, sqrt(fabs(quad_area(outline))), &beside);
    if (!cell->on_paper)
        return light;
    cell->local_light = beside.channel[1];
    for (int k = 0; k < 3; k++)
        if (fabs(beside.channel[k] - 1) < LOCAL_LIGHT_MAX)
            light.channel[k] *= beside.channel[k];
    return light;
}
