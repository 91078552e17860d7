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

/* A sample of what may be paper. */
struct seen {
    struct point at; /* in pitches */
    struct log_light light;
    double grain;  /* the standard error of any of its logarithms */
    bool on_sheet; /* for certain */
};

/* All samples of a sheet, and which of them are known to be bare so far. */
struct shade {
    const struct seen *samples;
    size_t count;
    bool *bare;
    double lightest; /* of those known from the first */
};

static struct seen seen_of(const struct area_sample *sample, double pitch_px, bool on_sheet)
{
    return (struct seen){point_scale(sample->at, 1 / pitch_px),
                         sampling_log_light(&sample->rgb_linear),
                         sampling_spread(sample) / sqrt(sampling_independent(sample)), on_sheet};
}

static bool same_tint(const struct seen *a, const struct seen *b)
{
    return sampling_same_tint(&a->light, &b->light, TINT_STEP + 2 * hypot(a->grain, b->grain));
}

/* Whether a sample may be paper beside a bare one, in darker or a little lighter light. */
static bool goes_on(const struct seen *bare, const struct seen *next)
{
    double step = next->light.level - bare->light.level;

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
    const struct seen *own = &shade->samples[i];

    for (size_t j = 0; j < shade->count; j++) {
        struct point there = point_subtract(shade->samples[j].at, own->at);
        double apart = hypot(there.x, there.y);

        if (j != i && apart < REACH_PITCHES &&
            shade->samples[j].light.level > own->light.level + ALIKE &&
            there.x * way.x + there.y * way.y < OPPOSITE * apart)
            return true;
    }
    return false;
}

static bool lies_as_in_shadow(const struct shade *shade, size_t i)
{
    const struct seen *own = &shade->samples[i];
    int dark = 0;

    for (size_t j = 0; j < shade->count; j++) {
        const struct seen *other = &shade->samples[j];
        struct point there = point_subtract(other->at, own->at);
        double apart = hypot(there.x, there.y);

        if (j == i || apart > REACH_PITCHES)
            continue;
        if (other->light.level <= own->light.level + ALIKE)
            dark += other->light.level > own->light.level - DEEPER_MAX && same_tint(own, other);
        else if (is_between(shade, i, point_scale(there, 1 / apart)))
            return false;
    }
    return dark >= DARK_MIN;
}

/* Whether a sample is of another tint than the bare paper around it: two lights change that, but
 * slowly. */
static bool is_tinted(const struct shade *shade, size_t i)
{
    const struct seen *own = &shade->samples[i];
    double tint[2] = {0, 0};
    size_t count = 0;

    for (size_t j = 0; j < shade->count; j++) {
        const struct seen *other = &shade->samples[j];

        if (!shade->bare[j] || point_distance(other->at, own->at) > TINT_REACH_PITCHES)
            continue;
        count++;
        for (int k = 0; k < 2; k++)
            tint[k] += (other->light.tint[k] - tint[k]) / (double)count;
    }
    return fmax(fabs(own->light.tint[0] - tint[0]), fabs(own->light.tint[1] - tint[1])) > TINT_MAX;
}

static bool joins(const struct shade *shade, size_t i)
{
    return shade->samples[i].on_sheet && shade->samples[i].light.level < shade->lightest &&
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
    struct seen *samples = memory_array(paper->count, sizeof *samples, "paper", error);
    struct shade shade = {samples, paper->count, bare, -INFINITY};
    enum status status = samples ? STATUS_OK : error->status;

    for (size_t i = 0; !status && i < paper->count; i++) {
        samples[i] =
            seen_of(&paper->samples[i], pitch_px, is_on_sheet(chart, paper->samples[i].at));
        if (bare[i])
            shade.lightest = fmax(shade.lightest, samples[i].light.level);
    }
    if (!status)
        follow(&shade);
    free(samples);
    return status;
}
