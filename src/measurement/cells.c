#include "cells.h"

#include "base/memory.h"
#include "beside.h"
#include "glare.h"
#include "rim.h"
#include "measurement/uncertainty.h"
#include "values/linear.h"
#include "values/statistics.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define INSET 0.15          /* of the side left out at each rim */
#define INSET_UNSEEN 0.2    /* where its edges are not seen */
#define SMALL_PX 150        /* fewer pixels than this are flagged */
#define CLIPPED_MAX 0.02    /* fraction of clipped pixels that is flagged */
#define GLARE_LEFT_OUT 0.06 /* fraction left out as too bright that is flagged */
#define UNEVEN_DELTA_E 3.0
/* What spreads its points further than mottle does may have moved the mean too: a standard
 * uncertainty of one delta E 2000 for each beyond this. */
#define MOTTLE_DELTA_E 2.0
#define LOCAL_LIGHT_UNSURE 0.3 /* of what the paper beside a cell shows the light field to miss */
#define U95_MAX 20.0           /* delta E 2000: a colour as little sure as this is none */
#define EMPTY_U95_MAX 8.0      /* and what is paper as little sure as this may be pale ink */
/* Channels below this part of paper may be cut off at the photo's low end; by how much, in parts
 * of the cell's green, and its standard deviation: from 400 random inks out of range seen by 150
 * random cameras (tests/accuracy). */
#define LOW_END 0.012
#define BELOW 0.07
#define BELOW_DEVIATION 0.12
#define SHADOW_RATIO 0.95 /* paper beside the cell this much darker than the light field */
/* A cell this near its paper looks empty; the less sure the photo, the further. Shadow and
 * glare move lightness, so it counts for less, and least where the cell is lighter than paper. */
#define EMPTY_DISTANCE 1.5
#define EMPTY_SURELY 2.0 /* where no gap shows the rim, what is further off may be pale ink */
#define EMPTY_PER_U95 0.3
#define EMPTY_DISTANCE_MAX 2.7
#define DARKER_SHARE 0.5
#define LIGHTER_SHARE 0.2
/* What looks like pale ink, up to these distances, has to show a step at its rim, else it is paper
 * in other light than was thought, or can't be told. Logarithms of light: the palest inks step by
 * 0.15 and more, less where their gaps are narrow; paper by 0.03. */
#define PALE_DISTANCE 15.0
#define PALEST_DISTANCE 8.0
#define FLAT_STEP 0.035
#define SURELY_UNLIKE 1.2 /* of u95: a rim that seems flat has a line or a label in it */
#define UNCLEAR_STEP 0.07
#define UNSEEN_SHARE 0.56 /* of that distance, where no clean gap shows the rim */
#define LIGHTEST 110.0    /* L* of no ink, even one that glows: the light there is not known */
#define GAP_SOILED 0.05   /* the rim this much lighter than its gap: ink or a label lies in that */

#define LOCAL_LIGHT_MAX                                                                            \
    0.35 /* a change of light against the field, beyond which it is no paper                       \
          */
#define POINTS_PER_SIDE 8
#define GLARE_SIDE 10        /* points along a cell's side */
#define GLARE_REACH 1.4      /* of the side: paper this near shows the same glare */
#define INDEPENDENT_MAX 36.0 /* patches of mottle a cell holds at most */

/* The photo with the camera's tone curve undone, and what its cells are read against. */
struct scene {
    struct photo photo; /* borrows all but its tables */
    const struct correction *correction;
    const struct paper *paper;
    struct rgb *paper_rgb;   /* each paper sample, tone undone, over what paper should give there */
    struct rgb *lit_rgb;     /* the same of each lit one; behind those */
    struct rgb paper_colour; /* of the paper in the light of the card's middle */
};

/* A cell on its way to a reading. */
struct cell {
    struct area_sample sample;
    struct rgb light;
    struct rgb rgb;     /* in the light of the card's middle, tone undone */
    bool on_paper;      /* bare paper beside it shows its light */
    double local_light; /* what that shows the field to miss */
    struct rgb below;   /* how far channels at the low end lie below the photo's range */
    struct glare glare;
};

#define TONE_KNOTS 1024

/* Tables from encoded sample to scene-linear light: the photo's own, tone undone. Evaluated at
 * knots, straight in between: the curves are smooth. */
static void undo_tone(const struct photo *photo, const struct correction *correction,
                      float *scene_linear)
{
    for (int k = 0; k < IMAGE_CHANNELS; k++) {
        float *table = scene_linear + ((size_t)k << 16);
        const int step = (IMAGE_SAMPLE_MAX + 1) / TONE_KNOTS;
        double here = correction_tone(correction, k, photo_linear(photo, k, 0));

        for (int i = 0; i < TONE_KNOTS; i++) {
            int end = (i + 1) * step < IMAGE_SAMPLE_MAX ? (i + 1) * step : IMAGE_SAMPLE_MAX;
            double next = correction_tone(correction, k, photo_linear(photo, k, (uint16_t)end));

            for (int j = 0; j < step; j++)
                table[i * step + j] = (float)(here + (next - here) * j / step);
            here = next;
        }
        table[IMAGE_SAMPLE_MAX] = (float)here;
    }
}

static struct rgb divided(struct rgb rgb, struct rgb light)
{
    for (int k = 0; k < 3; k++)
        rgb.channel[k] /= light.channel[k];
    return rgb;
}

/* Paper samples were taken before the tone was known; undo it on their means: paper is even. */
static struct rgb over_paper(const struct correction *correction, const struct area_sample *sample)
{
    struct rgb rgb;

    for (int k = 0; k < 3; k++)
        rgb.channel[k] = correction_tone(correction, k, sample->rgb_linear.channel[k]);
    return divided(rgb, correction_paper_at(correction, sample->at));
}

static enum status scene_create(const struct photo *photo, const struct correction *correction,
                                const struct paper *paper, struct scene *scene, struct error *error)
{
    *scene = (struct scene){.photo = *photo, .correction = correction, .paper = paper};
    scene->paper_colour = correction_paper(correction);
    scene->photo.linear_from_sample = memory_array(
        (size_t)IMAGE_CHANNELS << 16, sizeof *scene->photo.linear_from_sample, "tables", error);
    scene->paper_rgb =
        memory_array(paper->count + paper->lit_count, sizeof *scene->paper_rgb, "paper", error);
    if (!scene->photo.linear_from_sample || !scene->paper_rgb)
        return error->status;
    scene->lit_rgb = scene->paper_rgb + paper->count;
    undo_tone(photo, correction, scene->photo.linear_from_sample);
    for (size_t i = 0; i < paper->count; i++)
        scene->paper_rgb[i] = over_paper(correction, &paper->samples[i]);
    for (size_t i = 0; i < paper->lit_count; i++)
        scene->lit_rgb[i] = over_paper(correction, &paper->lit[i]);
    return STATUS_OK;
}

static void scene_release(struct scene *scene)
{
    free(scene->photo.linear_from_sample);
    free(scene->paper_rgb);
}

static struct lab lab_of(const struct correction *correction, struct rgb rgb)
{
    struct lab lab;

    correction_lab(correction, &rgb, 1, &lab);
    return lab;
}

/* The median distance of the cell's points from its mean. */
static double evenness(const struct scene *scene, const struct quad *area, struct rgb light,
                       struct lab mean)
{
    struct rgb points[POINTS_PER_SIDE * POINTS_PER_SIDE];
    struct lab labs[POINTS_PER_SIDE * POINTS_PER_SIDE];
    double distances[POINTS_PER_SIDE * POINTS_PER_SIDE];
    int count = sampling_points(&scene->photo, area, POINTS_PER_SIDE, points);

    for (int i = 0; i < count; i++)
        points[i] = divided(points[i], light);
    correction_lab(scene->correction, points, count, labs);
    for (int i = 0; i < count; i++)
        distances[i] = colour_delta_e_2000(labs[i], mean);
    return statistics_median(distances, (size_t)count);
}

/* Add what moving one or all channels by a standard error does to the colour. */
static void add_moved(const struct scene *scene, const struct cell *cell, const double error[3],
                      struct reading *reading)
{
    struct rgb rgb = cell->rgb;
    struct lab lab;
    double step[3];

    for (int k = 0; k < 3; k++)
        rgb.channel[k] += error[k];
    lab = correction_lab_below(scene->correction, rgb, cell->below);
    step[0] = lab.L - reading->lab.L;
    step[1] = lab.a - reading->lab.a;
    step[2] = lab.b - reading->lab.b;
    for (int i = 0; i < 9; i++)
        reading->covariance_own[i] += step[i / 3] * step[i % 3];
}

/* What is not known of channels below the photo's range. */
static void add_below(const struct scene *scene, const struct cell *cell, struct reading *reading)
{
    for (int k = 0; k < 3; k++) {
        struct cell moved = *cell;
        const double none[3] = {0, 0, 0};

        moved.below.channel[k] *= 1 + BELOW_DEVIATION / BELOW;
        if (cell->below.channel[k] > 0)
            add_moved(scene, &moved, none, reading);
    }
}

/* What is unsure by its spread, alike in all directions of delta E 2000. */
static void add_unevenness(struct reading *reading)
{
    double beyond = fmax(reading->evenness - MOTTLE_DELTA_E, 0), metric[9], inverse[9];

    colour_metric(reading->lab, metric);
    linear_invert_3x3(metric, inverse);
    for (int i = 0; i < 9; i++)
        reading->covariance_own[i] += beyond * beyond * inverse[i];
}

/* The cell's own covariance: the standard error of its mean, the light on it, the glare taken off
 * it, and what makes it uneven. */
static void own_covariance(const struct scene *scene, const struct cell *cell,
                           struct reading *reading)
{
    double independent = fmin(sampling_independent(&cell->sample), INDEPENDENT_MAX);
    double error[3], light[3];

    for (int k = 0; k < 3; k++) {
        double one[3] = {0, 0, 0};

        one[k] =
            cell->sample.deviation_linear.channel[k] / cell->light.channel[k] / sqrt(independent);
        add_moved(scene, cell, one, reading);
        light[k] = LOCAL_LIGHT_UNSURE * (cell->local_light - 1) * cell->rgb.channel[k];
        error[k] = cell->glare.uncertain * scene->paper_colour.channel[k];
    }
    add_moved(scene, cell, light, reading);
    add_unevenness(reading);
    add_below(scene, cell, reading);
    add_moved(scene, cell, error, reading);
}

static void state_uncertainty(const struct scene *scene, const struct cell *cell,
                              struct reading *reading)
{
    double total[9];

    own_covariance(scene, cell, reading);
    if (cell->on_paper)
        correction_covariance_on_paper(scene->correction, reading->lab, reading->covariance_shared);
    else
        correction_covariance(scene->correction, cell->sample.at, reading->lab,
                              reading->covariance_shared);
    for (int i = 0; i < 9; i++)
        total[i] = reading->covariance_own[i] + reading->covariance_shared[i];
    reading->u95 = uncertainty_radius_95(reading->lab, total);
}

static unsigned flags_of(const struct scene *scene, const struct cell *cell,
                         const struct reading *reading)
{
    const struct area_sample *sample = &cell->sample;
    unsigned flags = 0;

    flags |= sample->clipped > CLIPPED_MAX ? FLAG_CLIPPED : 0;
    flags |= cell->glare.found || sample->brighter > GLARE_LEFT_OUT ? FLAG_GLARE : 0;
    flags |= cell->local_light < SHADOW_RATIO ? FLAG_SHADOW : 0;
    flags |= sample->pixels < SMALL_PX ? FLAG_SMALL : 0;
    flags |= reading->evenness > UNEVEN_DELTA_E ? FLAG_UNEVEN : 0;
    flags |= correction_supports(scene->correction, reading->lab) ? 0 : FLAG_OUTSIDE;
    return flags;
}

/* The light on a cell, as bare paper shows it: the fitted field, and what the paper right beside
 * the cell shows that to miss. Without paper there it is the field alone. */
static struct rgb light_on_cell(const struct scene *scene, const struct quad *outline,
                                struct cell *cell)
{
    struct point at = quad_centre(outline);
    struct rgb light, beside;

    if (!scene->paper->count)
        return correction_light(scene->correction, at);
    light = divided(correction_paper_at(scene->correction, at), scene->paper_colour);
    cell->on_paper =
        beside_paper(scene->paper, scene->paper_rgb, at, sqrt(fabs(quad_area(outline))), &beside);
    if (!cell->on_paper)
        return light;
    cell->local_light = beside.channel[1];
    for (int k = 0; k < 3; k++)
        if (fabs(beside.channel[k] - 1) < LOCAL_LIGHT_MAX)
            light.channel[k] *= beside.channel[k];
    return light;
}

/* --- glare --- */

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

static enum status find_glare(const struct scene *scene, const struct reading *reading,
                              struct glare *glare, struct error *error)
{
    const struct paper *paper = scene->paper;
    struct glare_point points[GLARE_POINTS_MAX];
    struct rgb seen[GLARE_SIDE * GLARE_SIDE];
    struct point places[GLARE_SIDE * GLARE_SIDE];
    double side_px = sqrt(fabs(quad_area(&reading->outline)));
    struct around around = {quad_centre(&reading->outline), GLARE_REACH * side_px};
    int count = 0, inks = points_of(&scene->photo, &reading->sampled, seen, places);

    for (int i = 0; i < inks; i++)
        points[count++] = (struct glare_point){
            places[i], divided(seen[i], correction_paper_at(scene->correction, places[i])), false};
    for (size_t i = 0; i < paper->count; i++)
        add_paper(&paper->samples[i], scene->paper_rgb[i], &around, points, &count);
    for (size_t i = 0; i < paper->lit_count; i++)
        add_paper(&paper->lit[i], scene->lit_rgb[i], &around, points, &count);
    return glare_fit(points, count, side_px, glare, error);
}

/* Read the cell against the field alone: the paper beside it lies in the glare too. */
static void take_off_glare(const struct scene *scene, struct cell *cell)
{
    for (int k = 0; k < 3; k++)
        cell->rgb.channel[k] =
            fmax(cell->glare.over_paper.channel[k], 1e-4) * scene->paper_colour.channel[k];
    cell->local_light = 1;
}

/* --- reading --- */

/*
 * An ink too colourful for the photo's colour space has a channel at the end of
 * its range; the truth lies below by a part of its green that is known for inks
 * in general.
 */
static struct rgb below_range(const struct scene *scene, const struct cell *cell)
{
    struct rgb over = divided(cell->rgb, scene->paper_colour), below = {{0, 0, 0}};
    double brightest = fmax(fmax(over.channel[0], over.channel[2]), over.channel[1]);

    for (int k = 0; k < 3 && cell->sample.clipped > CLIPPED_MAX; k++) {
        double share = fmax(1 - over.channel[k] / LOW_END, 0);

        below.channel[k] =
            BELOW * share * (k == 1 ? brightest : over.channel[1]) * scene->paper_colour.channel[k];
    }
    return below;
}

/* How far a cell is from its paper, for telling whether it is empty. */
static double distance_from(struct lab paper, struct lab lab)
{
    double lighter = lab.L - paper.L;

    return hypot(hypot(lab.a - paper.a, lab.b - paper.b),
                 lighter * (lighter > 0 ? LIGHTER_SHARE : DARKER_SHARE));
}

/* Whether a cell that looks like pale ink shows the rim of ink; `unlike` is how far it is from its
 * paper in parts of its u95. */
static enum cell_found look_at_rim(const struct rim *rim, double distance, double unlike)
{
    double darkest = fmin(fmin(rim->step[0], rim->step[1]), rim->step[2]);
    double lightest = fmax(fmax(rim->step[0], rim->step[1]), rim->step[2]);
    bool clean = rim->pairs > 0 && lightest < GAP_SOILED;

    if (clean && darkest > -FLAT_STEP)
        return unlike < SURELY_UNLIKE ? CELL_EMPTY : CELL_UNREADABLE;
    if (distance < PALEST_DISTANCE && clean && darkest > -UNCLEAR_STEP)
        return CELL_UNREADABLE;
    if (distance < PALEST_DISTANCE * UNSEEN_SHARE && !clean && darkest > -UNCLEAR_STEP)
        return CELL_UNREADABLE;
    return unlike < 1 && !clean ? CELL_UNREADABLE : CELL_INK;
}

static enum cell_found what_is_in(const struct scene *scene, const struct chart_pose *chart,
                                  struct lab paper, const struct reading *reading)
{
    double distance = distance_from(paper, reading->lab);
    int cell = (reading->row - 1) * chart->columns + reading->column - 1;
    struct rim rim;

    if (reading->lab.L > LIGHTEST)
        return CELL_UNREADABLE;
    if (distance > PALE_DISTANCE)
        return CELL_INK;
    rim_look(&scene->photo, chart, cell, &rim);
    if (distance < fmin(EMPTY_DISTANCE + EMPTY_PER_U95 * reading->u95, EMPTY_DISTANCE_MAX))
        return distance < EMPTY_SURELY || rim.pairs ? CELL_EMPTY : CELL_UNREADABLE;
    return look_at_rim(&rim, distance, colour_delta_e_2000(paper, reading->lab) / reading->u95);
}

/* A cell whose colour is too unsure to be one has none, and may not be empty either. */
static enum cell_found what_was_read(enum cell_found found, const struct reading *reading)
{
    double most = found == CELL_EMPTY ? EMPTY_U95_MAX : U95_MAX;

    return reading->u95 > most ? CELL_UNREADABLE : found;
}

/* Read a cell; one that too little is seen of stays unreadable. */
static enum status read_cell(const struct scene *scene, const struct measurement *measurement,
                             struct reading *reading, struct error *error)
{
    struct cell cell = {.local_light = 1};
    enum status status = sampling_area(&scene->photo, &reading->sampled, &cell.sample, error);

    reading->found = CELL_UNREADABLE;
    if (status)
        return status == STATUS_QUALITY ? STATUS_OK : status;
    cell.light = light_on_cell(scene, &reading->outline, &cell);
    cell.rgb = divided(cell.sample.rgb_linear, cell.light);
    reading->evenness =
        evenness(scene, &reading->sampled, cell.light, lab_of(scene->correction, cell.rgb));
    if (scene->paper->count)
        status = find_glare(scene, reading, &cell.glare, error);
    if (status)
        return status;
    if (cell.glare.found)
        take_off_glare(scene, &cell);
    cell.below = below_range(scene, &cell);
    reading->lab = correction_lab_below(scene->correction, cell.rgb, cell.below);
    state_uncertainty(scene, &cell, reading);
    reading->flags = flags_of(scene, &cell, reading);
    reading->found =
        what_was_read(what_is_in(scene, &measurement->chart, measurement->paper, reading), reading);
    return STATUS_OK;
}

static enum status read_cells(const struct scene *scene, struct measurement *measurement,
                              struct error *error)
{
    const struct chart_pose *chart = &measurement->chart;
    enum status status = STATUS_OK;

    for (int i = 0; !status && i < chart->rows * chart->columns; i++) {
        struct reading *reading = &measurement->readings[i];

        reading->row = i / chart->columns + 1;
        reading->column = i % chart->columns + 1;
        reading->outline = chart->outline[i];
        reading->sampled =
            quad_inset(&chart->outline[i], isfinite(chart->corner_error[i]) ? INSET : INSET_UNSEEN);
        status = read_cell(scene, measurement, reading, error);
    }
    return status;
}

enum status cells_read(const struct photo *photo, const struct paper *paper,
                       struct measurement *measurement, struct error *error)
{
    const struct chart_pose *chart = &measurement->chart;
    struct scene scene;
    enum status status = scene_create(photo, measurement->correction, paper, &scene, error);

    if (!status) {
        measurement->paper = lab_of(scene.correction, scene.paper_colour);
        measurement->readings = memory_array((size_t)chart->rows * (size_t)chart->columns,
                                             sizeof *measurement->readings, "the readings", error);
        status = measurement->readings ? STATUS_OK : error->status;
    }
    if (!status)
        status = read_cells(&scene, measurement, error);
    scene_release(&scene);
    return status;
}
