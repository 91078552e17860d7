#include "cell_below.h"

#include <math.h>

/* Channels below this part of paper may be cut off; by how much, in parts of the cell's green, and
 * its standard deviation: from 400 random inks out of range seen by 150 random cameras
 * (tests/accuracy). */
#define LOW_END 0.012
#define BELOW 0.12
#define BELOW_DEVIATION 0.16

struct rgb cell_below_range(const struct scene *scene, const struct cell *cell)
{
    struct rgb over = scene_divided(cell->rgb, scene->paper_colour), below = {{0, 0, 0}};
    double brightest = fmax(fmax(over.channel[0], over.channel[2]), over.channel[1]);

    for (int k = 0; k < 3 && cell->sample.clipped > CELL_CLIPPED_MAX; k++) {
        double share = fmax(1 - over.channel[k] / LOW_END, 0);

        below.channel[k] =
            BELOW * share * (k == 1 ? brightest : over.channel[1]) * scene->paper_colour.channel[k];
    }
    return below;
}

struct cell cell_below_by_a_deviation(const struct cell *cell, int channel)
{
    struct cell moved = *cell;

    moved.below.channel[channel] *= 1 + BELOW_DEVIATION / BELOW;
    return moved;
}
