#include "cell_glare.h"

#include <math.h>

#define GLARE_SIDE 10      /* points along a cell's side */
#define OUTSHINES_MIN 1.03 /* of paper: what is less may be paper, grainy as it is */
#define GLARE_REACH 1.4    /* of the side: paper this near shows the same glare */

static int points_of(const struct photo *photo, const struct quad *quad, struct rgb *seen,
                     struct point *places)
{
    int count = 0;

    for (int i = 0; i < GLARE_SIDE * GLARE_SIDE; i++) {
        double u = (i % GLARE_SIDE + 0.5) / GLARE_SIDE, v = (i / GLARE_SIDE + 0.5) / GLARE_SIDE;
        struct point upper = point_between(quad->corner[0], quad->corner[1], u);
        struct point lower = point_between(quad->corner[3], quad->corner[2], u);

        places[count] = point_between(upper, lower, v);
        count += sampling_glance(photo, places[count], 1, &seen[count]);
    }
    return count;
}

/* Where paper shows the same glare as a cell. */
struct around {
    struct point centre;
    double reach_px;
};

static void add_paper(const struct area_sample *sample, struct rgb over_paper,
                      const struct around *around, struct glare_point points[GLARE_POINTS_MAX],
                      int *count)
{
    if (*count < GLARE_POINTS_MAX && point_distance(sample->at, around->centre) < around->reach_px)
        points[(*count)++] = (struct glare_point){sample->at, over_paper, true};
}

/* Whether a point of a cell is lighter than bare paper there: no ink with holes in it is. */
static bool outshines(struct rgb over_paper)
{
    return fmin(fmin(over_paper.channel[0], over_paper.channel[1]), over_paper.channel[2]) >
           OUTSHINES_MIN;
}

static enum status find_glare(const struct scene *scene, const struct reading *reading,
                              struct cell *cell, struct error *error)
{
    const struct paper *paper = &scene->paper;
    struct glare_point points[GLARE_POINTS_MAX];
    struct rgb seen[GLARE_SIDE * GLARE_SIDE];
    struct point places[GLARE_SIDE * GLARE_SIDE];
    double side_px = sqrt(fabs(quad_area(&reading->outline)));
    struct around around = {quad_centre(&reading->outline), GLARE_REACH * side_px};
    int count = 0, inks = points_of(&scene->photo, &reading->sampled, seen, places);

    for (int i = 0; i < inks; i++) {
        struct rgb over = scene_divided(seen[i], correction_paper_at(scene->correction, places[i]));

        points[count++] = (struct glare_point){places[i], over, false};
        cell->outshines = cell->outshines || outshines(over);
    }
    for (size_t i = 0; i < paper->count; i++)
        add_paper(&paper->samples[i], scene->paper_rgb[i], &around, points, &count);
    for (size_t i = 0; i < paper->lit_count; i++)
        add_paper(&paper->lit[i], scene->lit_rgb[i], &around, points, &count);
    return glare_fit(points, count, side_px, &cell->glare, error);
}

/* Read the cell against the field alone: the paper beside it lies in the glare too. */
static void take_off_glare(const struct scene *scene, struct cell *cell)
{
    for (int k = 0; k < 3; k++)
        cell->rgb.channel[k] =
            fmax(cell->glare.over_paper.channel[k], 1e-4) * scene->paper_colour.channel[k];
    cell->local_light = 1;
}

enum status cell_glare_take_off(const struct scene *scene, const struct reading *reading,
                                struct cell *cell, struct error *error)
{
    enum status status = STATUS_OK;

    if (scene->paper.count)
        status = find_glare(scene, reading, cell, error);
    if (!status && cell->glare.found)
        take_off_glare(scene, cell);
    return status;
}
