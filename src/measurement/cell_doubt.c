#include "cell_doubt.h"

#include "cell_below.h"
#include "measurement/radius.h"
#include "values/linear.h"

#include <math.h>

/* What spreads its points further than mottle does may have moved the mean too: a standard
 * uncertainty of one delta E 2000 for each beyond this. */
#define MOTTLE_DELTA_E 2.0
#define LOCAL_LIGHT_UNSURE 0.3 /* of what the paper beside a cell shows the light field to miss */
#define INDEPENDENT_MAX 36.0   /* patches of mottle a cell holds at most */

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
        struct cell moved = cell_below_by_a_deviation(cell, k);
        const double none[3] = {0, 0, 0};

        if (cell->below.channel[k] > 0)
            add_moved(scene, &moved, none, reading);
    }
}

/* Add a deviation that is alike in all directions of delta E 2000. */
static void add_alike(struct lab lab, double deviation, double covariance[9])
{
    double metric[9], inverse[9];

    colour_metric(lab, metric);
    linear_invert_3x3(metric, inverse);
    for (int i = 0; i < 9; i++)
        covariance[i] += deviation * deviation * inverse[i];
}

/* What is unsure by its spread. */
static void add_unevenness(struct reading *reading)
{
    add_alike(reading->lab, fmax(reading->unevenness - MOTTLE_DELTA_E, 0), reading->covariance_own);
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

static void state_radius(struct reading *reading)
{
    double total[9];

    for (int i = 0; i < 9; i++)
        total[i] = reading->covariance_own[i] + reading->covariance_shared[i];
    reading->u95 = radius_95(reading->lab, total);
}

void cell_doubt_state(const struct scene *scene, const struct cell *cell, struct reading *reading)
{
    own_covariance(scene, cell, reading);
    if (cell->on_paper)
        correction_covariance_on_paper(scene->correction, reading->lab, reading->covariance_shared);
    else
        correction_covariance(scene->correction, cell->sample.at, reading->lab,
                              reading->covariance_shared);
    state_radius(reading);
}

void cell_doubt_widen(double deviation, struct reading *reading)
{
    add_alike(reading->lab, deviation, reading->covariance_shared);
    state_radius(reading);
}
