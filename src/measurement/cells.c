#include "cells.h"

#include "base/memory.h"
#include "cell_below.h"
#include "cell_contents.h"
#include "cell_doubt.h"
#include "cell_glare.h"
#include "cell_light.h"
#include "values/statistics.h"

#include <math.h>

#define INSET 0.15       /* of the side left out at each rim */
#define INSET_UNSEEN 0.2 /* where its edges are not seen */
#define SMALL_PX 150     /* fewer pixels than this are flagged */
/* Fraction left out as too bright that is flagged: a shine where it is lighter than paper, else
 * paper that shows through. */
#define BRIGHTER_LEFT_OUT 0.06
#define UNEVEN_DELTA_E 3.0
#define SHADOW_RATIO 0.95 /* paper beside the cell this much darker than the light field */
#define POINTS_PER_SIDE 8

/* The median distance of the cell's points from its mean. */
static double unevenness(const struct scene *scene, const struct quad *area, struct rgb light,
                         struct lab mean)
{
    struct rgb points[POINTS_PER_SIDE * POINTS_PER_SIDE];
    struct lab labs[POINTS_PER_SIDE * POINTS_PER_SIDE];
    double distances[POINTS_PER_SIDE * POINTS_PER_SIDE];
    int count = sampling_points(&scene->photo, area, POINTS_PER_SIDE, points);

    for (int i = 0; i < count; i++)
        points[i] = scene_divided(points[i], light);
    correction_lab(scene->correction, points, count, labs);
    for (int i = 0; i < count; i++)
        distances[i] = colour_delta_e_2000(labs[i], mean);
    return statistics_median(distances, (size_t)count);
}

static unsigned flags_of(const struct scene *scene, const struct cell *cell,
                         const struct reading *reading)
{
    const struct area_sample *sample = &cell->sample;
    bool left_out = sample->brighter > BRIGHTER_LEFT_OUT;
    unsigned flags = 0;

    flags |= sample->clipped > CELL_CLIPPED_MAX ? FLAG_CLIPPED : 0;
    flags |= cell->glare.found || (left_out && cell->outshines) ? FLAG_GLARE : 0;
    flags |= cell->local_light < SHADOW_RATIO ? FLAG_SHADOW : 0;
    flags |= sample->pixels < SMALL_PX ? FLAG_SMALL : 0;
    flags |=
        reading->unevenness > UNEVEN_DELTA_E || (left_out && !cell->outshines) ? FLAG_UNEVEN : 0;
    flags |= correction_supports(scene->correction, reading->lab) ? 0 : FLAG_OUTSIDE;
    return flags;
}

/* Read a cell; one that too little is seen of stays unreadable. */
static enum status read_cell(const struct scene *scene, const struct chart_pose *chart,
                             struct reading *reading, struct error *error)
{
    struct cell cell = {.local_light = 1};
    enum status status = sampling_area(&scene->photo, &reading->sampled, &cell.sample, error);

    reading->found = CELL_UNREADABLE;
    if (status)
        return status == STATUS_QUALITY ? STATUS_OK : status;
    cell.light = cell_light(scene, &reading->outline, &cell);
    cell.rgb = scene_divided(cell.sample.rgb_linear, cell.light);
    reading->unevenness =
        unevenness(scene, &reading->sampled, cell.light, scene_lab(scene, cell.rgb));
    status = cell_glare_take_off(scene, reading, &cell, error);
    if (status)
        return status;
    cell.below = cell_below_range(scene, &cell);
    reading->lab = correction_lab_below(scene->correction, cell.rgb, cell.below);
    cell_doubt_state(scene, &cell, reading);
    reading->flags = flags_of(scene, &cell, reading);
    reading->found = cell_contents(scene, chart, reading);
    return STATUS_OK;
}

enum status cells_read(const struct scene *scene, struct measured_chart *chart, struct error *error)
{
    const struct chart_pose *pose = &chart->pose;
    int count = pose->rows * pose->columns;
    enum status status = STATUS_OK;

    chart->readings = memory_array((size_t)count, sizeof *chart->readings, "the readings", error);
    if (!chart->readings)
        return error->status;
    for (int i = 0; !status && i < count; i++) {
        struct reading *reading = &chart->readings[i];

        reading->row = i / pose->columns + 1;
        reading->column = i % pose->columns + 1;
        reading->outline = pose->outline[i];
        reading->sampled =
            quad_inset(&pose->outline[i], isfinite(pose->corner_error[i]) ? INSET : INSET_UNSEEN);
        status = read_cell(scene, pose, reading, error);
    }
    return status;
}

void cells_widen(struct measured_chart *chart)
{
    double deviation = faults_deviation(&chart->faults);
    bool unpromised = faults_verdict(&chart->faults) == PHOTO_NOT_PROMISED;

    for (int i = 0; i < chart->pose.rows * chart->pose.columns; i++) {
        struct reading *reading = &chart->readings[i];

        if (reading->found != CELL_UNREADABLE && deviation > 0)
            cell_doubt_widen(deviation, reading);
        reading->flags |= unpromised ? FLAG_UNPROMISED : 0;
    }
}
