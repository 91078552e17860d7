#include "measurement/paper_shade.h"

#include <math.h>

/* From a bare sample to one beside it, in logarithms of light. */
#define STEP_DARKER 0.16
#define STEP_LIGHTER 0.05
#define TINT_STEP 0.03
#define TINT_MAX 0.06 /* in all: where cells all but touch, their ink lies in the gaps */

/* A shadow is wide: what lies in it has others around as dark as itself, and near its edge what is
 * brighter lies to one side. A mark in a gap has brighter paper all around. */
#define REACH_PITCHES 1.5
#define ALIKE 0.05
#define ALIKE_MIN 2
#define ONE_SIDED 0.5 /* the mean of the directions to what is brighter, at least */

struct logarithms {
    double level;
    double tint[2];
    double grain; /* the standard error of any of them */
};

static struct logarithms logarithms_of(const struct area_sample *sample)
{
    const double *rgb = sample->rgb_linear.channel;

    return (struct logarithms){(log(rgb[0]) + log(rgb[1]) + log(rgb[2])) / 3,
                               {log(rgb[0] / rgb[1]), log(rgb[2] / rgb[1])},
                               sampling_spread(sample) / sqrt(sampling_independent(sample))};
}

static bool same_tint(const struct logarithms *a, const struct logarithms *b)
{
    double limit = TINT_STEP + 2 * hypot(a->grain, b->grain);

    return fabs(a->tint[0] - b->tint[0]) < limit && fabs(a->tint[1] - b->tint[1]) < limit;
}

static bool goes_on(const struct logarithms *bare, const struct logarithms *next)
{
    double step = next->level - bare->level;

    return step > -STEP_DARKER && step < STEP_LIGHTER + hypot(bare->grain, next->grain) &&
           same_tint(bare, next);
}

static bool joins(const struct paper *paper, size_t i, double pitch_px, const bool *bare)
{
    struct logarithms own = logarithms_of(&paper->samples[i]);
    struct point brighter = {0, 0};
    int alike = 0, brighter_count = 0;
    bool reached = false;

    for (size_t j = 0; j < paper->count; j++) {
        struct point there =
            point_scale(point_subtract(paper->samples[j].at, paper->samples[i].at), 1 / pitch_px);
        double apart = hypot(there.x, there.y);
        struct logarithms other;

        if (j == i || apart > REACH_PITCHES)
            continue;
        other = logarithms_of(&paper->samples[j]);
        if (other.level > own.level + ALIKE) {
            brighter = point_add(brighter, point_scale(there, 1 / apart));
            brighter_count++;
        }
        alike += fabs(other.level - own.level) < ALIKE && same_tint(&own, &other);
        reached = reached || (bare[j] && apart < 1 && goes_on(&other, &own));
    }
    return reached && alike >= ALIKE_MIN &&
           hypot(brighter.x, brighter.y) >= ONE_SIDED * brighter_count;
}

/* The tint of the paper that is known to be bare. */
static void mean_tint(const struct paper *paper, const bool *bare, double tint[2])
{
    size_t count = 0;

    tint[0] = tint[1] = 0;
    for (size_t i = 0; i < paper->count; i++)
        if (bare[i]) {
            struct logarithms own = logarithms_of(&paper->samples[i]);

            count++;
            for (int k = 0; k < 2; k++)
                tint[k] += (own.tint[k] - tint[k]) / (double)count;
        }
}

static bool is_tinted(const struct area_sample *sample, const double tint[2])
{
    struct logarithms own = logarithms_of(sample);

    return fmax(fabs(own.tint[0] - tint[0]), fabs(own.tint[1] - tint[1])) > TINT_MAX;
}

void paper_follow_shade(const struct paper *paper, const struct chart_pose *chart, bool *bare)
{
    double pitch_px = sqrt(fabs(quad_area(&chart->corners)) / (chart->rows * chart->columns));
    double tint[2];

    mean_tint(paper, bare, tint);
    for (bool joined = true; joined;) {
        joined = false;
        for (size_t i = 0; i < paper->count; i++)
            if (!bare[i] && quad_contains(&chart->corners, paper->samples[i].at) &&
                !is_tinted(&paper->samples[i], tint) && joins(paper, i, pitch_px, bare))
                bare[i] = joined = true;
    }
}
