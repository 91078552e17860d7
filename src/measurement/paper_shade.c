#include "paper_shade.h"

#include "base/memory.h"

#include <math.h>
#include <stdlib.h>

/* From a bare sample to one beside it, in logarithms of light. */
#define STEP_DARKER 0.16
#define STEP_LIGHTER 0.05
#define TINT_STEP 0.03
#define TINT_MAX                                                                                   \
    0.06 /* off those around: where cells all but touch, their ink lies in the gaps                \
          */
#define TINT_REACH_PITCHES 2.5

/* A shadow is wide: beyond what lies in it is more as dark or darker, and what is brighter lies on
 * one side. A mark in a gap has brighter paper on either. */
#define REACH_PITCHES 1.5
#define ALIKE 0.05
#define DEEPER_MAX 0.3
#define DARK_MIN 2      /* samples as dark or darker */
#define OPPOSITE (-0.9) /* the cosine between the ways to what lies on either side */

#define BESIDE_REACH 0.35 /* of a cell's side around it: farther out the desk may begin */

struct logarithms {
    struct point at; /* in pitches */
    double level;
    double tint[2];
    double grain;  /* the standard error of any of them */
    bool on_sheet; /* for certain */
};

/* All samples of a sheet, and which of them are known to be bare so far. */
struct shade {
    const struct logarithms *samples;
    size_t count;
    bool *bare;
    double lightest; /* of those known from the first */
};

static struct logarithms logarithms_of(const struct area_sample *sample, double pitch_px,
                                       bool on_sheet)
{
    const double *rgb = sample->rgb_linear.channel;

    return (struct logarithms){point_scale(sample->at, 1 / pitch_px),
                               (log(rgb[0]) + log(rgb[1]) + log(rgb[2])) / 3,
                               {log(rgb[0] / rgb[1]), log(rgb[2] / rgb[1])},
                               sampling_spread(sample) / sqrt(sampling_independent(sample)),
                               on_sheet};
}

static bool same_tint(const struct logarithms *a, const struct logarithms *b)
{
    double limit = TINT_STEP + 2 * hypot(a->grain, b->grain);

    return fabs(a->tint[0] - b->tint[0]) < limit && fabs(a->tint[1] - b->tint[1]) < limit;
}

/* Whether a sample may be paper beside a bare one, in darker or a little lighter light. */
static bool goes_on(const struct logarithms *bare, const struct logarithms *next)
{
    double step = next->level - bare->level;

    return step > -STEP_DARKER && step < STEP_LIGHTER + hypot(bare->grain, next->grain) &&
           same_tint(bare, next);
}

static bool is_reached(const struct shade *shade, size_t i)
{
    for (size_t j = 0; j < shade->count; j++)
        if (shade->bare[j] && point_distance(shade->samples[j].at, shade->samples[i].at) < 1 &&
            goes_on(&shade->samples[j], &shade->samples[i]))
            return true;
    return false;
}

/* Whether something brighter lies on a sample's other side, too. */
static bool is_between(const struct shade *shade, size_t i, struct point way)
{
    const struct logarithms *own = &shade->samples[i];

    for (size_t j = 0; j < shade->count; j++) {
        struct point there = point_subtract(shade->samples[j].at, own->at);
        double apart = hypot(there.x, there.y);

        if (j != i && apart < REACH_PITCHES && shade->samples[j].level > own->level + ALIKE &&
            there.x * way.x + there.y * way.y < OPPOSITE * apart)
            return true;
    }
    return false;
}

static bool lies_as_in_shadow(const struct shade *shade, size_t i)
{
    const struct logarithms *own = &shade->samples[i];
    int dark = 0;

    for (size_t j = 0; j < shade->count; j++) {
        const struct logarithms *other = &shade->samples[j];
        struct point there = point_subtract(other->at, own->at);
        double apart = hypot(there.x, there.y);

        if (j == i || apart > REACH_PITCHES)
            continue;
        if (other->level <= own->level + ALIKE)
            dark += other->level > own->level - DEEPER_MAX && same_tint(own, other);
        else if (is_between(shade, i, point_scale(there, 1 / apart)))
            return false;
    }
    return dark >= DARK_MIN;
}

/* Whether a sample is of another tint than the bare paper around it: two lights change that, but
 * slowly. */
static bool is_tinted(const struct shade *shade, size_t i)
{
    const struct logarithms *own = &shade->samples[i];
    double tint[2] = {0, 0};
    size_t count = 0;

    for (size_t j = 0; j < shade->count; j++) {
        const struct logarithms *other = &shade->samples[j];

        if (!shade->bare[j] || point_distance(other->at, own->at) > TINT_REACH_PITCHES)
            continue;
        count++;
        for (int k = 0; k < 2; k++)
            tint[k] += (other->tint[k] - tint[k]) / (double)count;
    }
    return fmax(fabs(own->tint[0] - tint[0]), fabs(own->tint[1] - tint[1])) > TINT_MAX;
}

static bool joins(const struct shade *shade, size_t i)
{
    return shade->samples[i].on_sheet && shade->samples[i].level < shade->lightest &&
           is_reached(shade, i) && lies_as_in_shadow(shade, i) && !is_tinted(shade, i);
}

static void follow(const struct shade *shade)
{
    for (bool joined = true; joined;) {
        joined = false;
        for (size_t i = 0; i < shade->count; i++)
            if (!shade->bare[i] && joins(shade, i))
                shade->bare[i] = joined = true;
    }
}

static bool is_on_sheet(const struct chart_pose *chart, struct point at)
{
    if (quad_contains(&chart->corners, at))
        return true;
    for (int i = 0; i < chart->rows * chart->columns; i++) {
        struct quad around = quad_inset(&chart->outline[i], -BESIDE_REACH);

        if (quad_contains(&around, at))
            return true;
    }
    return false;
}

enum status paper_follow_shade(const struct paper *paper, const struct chart_pose *chart,
                               bool *bare, struct error *error)
{
    double pitch_px = sqrt(fabs(quad_area(&chart->corners)) / (chart->rows * chart->columns));
    struct logarithms *samples = memory_array(paper->count, sizeof *samples, "paper", error);
    struct shade shade = {samples, paper->count, bare, -INFINITY};
    enum status status = samples ? STATUS_OK : error->status;

    for (size_t i = 0; !status && i < paper->count; i++) {
        samples[i] =
            logarithms_of(&paper->samples[i], pitch_px, is_on_sheet(chart, paper->samples[i].at));
        if (bare[i])
            shade.lightest = fmax(shade.lightest, samples[i].level);
    }
    if (!status)
        follow(&shade);
    free(samples);
    return status;
}
