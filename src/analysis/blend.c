#include "analysis/blend.h"

#include "base/memory.h"
#include "values/linear.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* No ink is blacker or whiter than this in any band, whatever the smoothest spectrum says. */
#define REFLECTANCE_LEAST 0.002
#define REFLECTANCE_MOST 0.9995

double blend_kubelka_munk(double first, double second, double second_share)
{
    double first_ratio = (1 - first) * (1 - first) / (2 * first);
    double second_ratio = (1 - second) * (1 - second) / (2 * second);
    double ratio = (1 - second_share) * first_ratio + second_share * second_ratio;

    return 1 / (1 + ratio + sqrt(ratio * (ratio + 2)));
}

double blend_geometric(double first, double second, double second_share)
{
    return pow(first, 1 - second_share) * pow(second, second_share);
}

const char *blend_law_name(enum blend_law law)
{
    return law == BLEND_KUBELKA_MUNK ? "Kubelka-Munk" : "geometric mean";
}

const char *blend_basis_words(enum blend_basis basis)
{
    static const char *const words[] = {[BLEND_BY_LAWS] = "colours alone",
                                        [BLEND_BY_OTHERS] = "other test blends",
                                        [BLEND_TESTED] = "a test blend"};

    return words[basis];
}

struct blend_habit blend_habit_unknown(void)
{
    return (struct blend_habit){.basis = BLEND_BY_LAWS, .lean = 0.5, .strength = 1};
}

enum status blend_ink_prepare(const struct reflectance_observer *observer, struct lab lab,
                              double u95, struct blend_ink *ink, struct error *error)
{
    enum status status = reflectance_estimate(observer, lab, &ink->reflectance, error);
    struct lab reached;

    if (status)
        return status;
    for (int i = 0; i < REFLECTANCE_BANDS; i++)
        ink->reflectance.band[i] =
            fmin(fmax(ink->reflectance.band[i], REFLECTANCE_LEAST), REFLECTANCE_MOST);
    reached = reflectance_lab(observer, &ink->reflectance);
    ink->lab = lab;
    ink->missed = (struct lab){lab.L - reached.L, lab.a - reached.a, lab.b - reached.b};
    ink->u95 = u95;
    return STATUS_OK;
}

/* --- one blend ------------------------------------------------------------------------------ */

/* Two inks on their way to a blend. */
struct blending {
    const struct reflectance_observer *observer;
    const struct blend_ink *first, *second;
};

static struct lab add_scaled(struct lab lab, double factor, struct lab other)
{
    return (struct lab){lab.L + factor * other.L, lab.a + factor * other.a,
                        lab.b + factor * other.b};
}

/* Both laws are drawn on by powers, so that what lies between them is one of a family. */
static struct lab blend_colour(const struct blending *blending, double share, double lean)
{
    struct reflectance mixed;
    struct lab lab;

    for (int i = 0; i < REFLECTANCE_BANDS; i++) {
        double first = blending->first->reflectance.band[i];
        double second = blending->second->reflectance.band[i];
        double covering = lean < 1 || lean > 1 ? blend_kubelka_munk(first, second, share) : 1;
        double filtering = lean < 0 || lean > 0 ? blend_geometric(first, second, share) : 1;

        mixed.band[i] = fmin(pow(covering, 1 - lean) * pow(filtering, lean), 1);
    }
    lab = reflectance_lab(blending->observer, &mixed);
    lab = add_scaled(lab, 1 - share, blending->first->missed);
    return add_scaled(lab, share, blending->second->missed);
}

/*
 * How far off a forecast is, 95 times in 100, delta E 2000. With the law known
 * the error grows with the distance between the laws, which measures how much
 * the mixing matters. On measured reflectances the right law is off by 5.4 to
 * 6.8 where the laws lie 7 apart on average (own calculation); simulated inks,
 * whose spectra are smoother, keep to half of that.
 */
#define OFF_LEAST 1.5
#define OFF_FOR_LAWS_APART 0.85 /* of the distance between the laws */
#define OFF_BY_OTHERS 0.35      /* how differently pairs of one range lean, of that distance */
#define OFF_AFTER_TEST 0.4      /* what a test blend of the pair itself leaves */

static double radius(const struct blending *blending, const struct blend_forecast *forecast,
                     double second_share, enum blend_basis basis)
{
    double apart = colour_delta_e_2000(forecast->by_law[0], forecast->by_law[1]);
    double off = hypot(OFF_LEAST, OFF_FOR_LAWS_APART * apart);
    double inks =
        hypot((1 - second_share) * blending->first->u95, second_share * blending->second->u95);

    if (basis == BLEND_BY_LAWS)
        off += fmax(colour_delta_e_2000(forecast->lab, forecast->by_law[0]),
                    colour_delta_e_2000(forecast->lab, forecast->by_law[1]));
    else if (basis == BLEND_BY_OTHERS)
        off = hypot(off, OFF_BY_OTHERS * apart);
    else
        off *= OFF_AFTER_TEST;
    return hypot(off, inks);
}

static double effective_share(double share, double strength)
{
    return share * strength / (share * strength + 1 - share);
}

struct blend_forecast blend_forecast_at(const struct reflectance_observer *observer,
                                        const struct blend_ink *first,
                                        const struct blend_ink *second, double second_share,
                                        const struct blend_habit *habit)
{
    const struct blending blending = {observer, first, second};
    double share = effective_share(second_share, habit->strength);
    double between = 4 * second_share * (1 - second_share);
    struct blend_forecast forecast;

    for (int law = 0; law < BLEND_LAWS; law++)
        forecast.by_law[law] = blend_colour(&blending, share, law);
    forecast.lab = add_scaled(blend_colour(&blending, share, habit->lean), between, habit->rest);
    forecast.u95 = radius(&blending, &forecast, second_share, habit->basis);
    return forecast;
}

/* --- learning from a test blend ------------------------------------------------------------- */

#define LEAN_DEVIATION 0.5     /* about the middle: how far off either law a pair is expected */
#define STRENGTH_DEVIATION 0.5 /* of the strength's logarithm */
#define SAMPLE_DEVIATION 1.0   /* delta E that a measured blend is off by: spectra and hand */
#define LEARNT 2               /* lean and the logarithm of strength */
#define ALIKE 3.0              /* delta E 2000 of two inks that show nothing of how they mix */
#define NO_BLEND 8.0           /* delta E 2000 that no way of mixing these inks is off by */
#define LEAN_BEYOND 1.0        /* how far beyond either law a mixing may lie */
#define STRENGTH_MOST 6.0      /* that one ink may count more than its share */

struct learning {
    struct blending blending;
    const struct blend_sample *samples;
    size_t count;
};

static void learning_residuals(const double *learnt, void *context, double *residuals)
{
    const struct learning *learning = context;

    for (size_t i = 0; i < learning->count; i++) {
        double share = effective_share(learning->samples[i].second_share, exp(learnt[1]));
        struct lab lab = blend_colour(&learning->blending, share, learnt[0]);
        struct lab seen = learning->samples[i].lab;
        double weight = 1 / SAMPLE_DEVIATION;

        residuals[3 * i] = weight * (lab.L - seen.L);
        residuals[3 * i + 1] = weight * (lab.a - seen.a);
        residuals[3 * i + 2] = weight * (lab.b - seen.b);
    }
    residuals[3 * learning->count] = (learnt[0] - 0.5) / LEAN_DEVIATION;
    residuals[3 * learning->count + 1] = learnt[1] / STRENGTH_DEVIATION;
}

/* How far the samples are off at most, what they have besides left aside. */
static double farthest_off(const struct learning *learning, const double *learnt)
{
    double farthest = 0;

    for (size_t i = 0; i < learning->count; i++) {
        double share = effective_share(learning->samples[i].second_share, exp(learnt[1]));
        struct lab lab = blend_colour(&learning->blending, share, learnt[0]);

        farthest = fmax(farthest, colour_delta_e_2000(lab, learning->samples[i].lab));
    }
    return farthest;
}

/* What the samples have besides, by least squares of a hump that is 1 half way and 0 at the ends.
 */
static struct lab rest_of(const struct learning *learning, const double *learnt)
{
    struct lab sum = {0, 0, 0};
    double weights = 0;

    for (size_t i = 0; i < learning->count; i++) {
        const struct blend_sample *sample = &learning->samples[i];
        double hump = 4 * sample->second_share * (1 - sample->second_share);
        double share = effective_share(sample->second_share, exp(learnt[1]));
        struct lab lab = blend_colour(&learning->blending, share, learnt[0]);

        sum = add_scaled(sum, hump, sample->lab);
        sum = add_scaled(sum, -hump, lab);
        weights += hump * hump;
    }
    return (struct lab){sum.L / weights, sum.a / weights, sum.b / weights};
}

enum status blend_learn(const struct reflectance_observer *observer,
                        const struct blend_strip *strip, struct blend_habit *habit,
                        struct error *error)
{
    struct learning learning = {
        {observer, strip->first, strip->second}, strip->samples, strip->count};
    const struct linear_residuals problem = {learning_residuals, &learning, LEARNT,
                                             3 * strip->count + LEARNT, 60};
    double learnt[LEARNT] = {0.5, 0};
    double apart = colour_delta_e_2000(strip->first->lab, strip->second->lab), off;
    enum status status;

    *habit = blend_habit_unknown();
    if (apart < ALIKE)
        return error_set(error, STATUS_QUALITY,
                         "the two inks are only %.1f delta E 2000 apart: their blend shows "
                         "nothing of how they mix; make the test blend of two that differ more",
                         apart);
    status = linear_minimise(&problem, learnt, error);
    if (status)
        return status;
    off = farthest_off(&learning, learnt);
    if (off > NO_BLEND || learnt[0] < -LEAN_BEYOND || learnt[0] > 1 + LEAN_BEYOND ||
        fabs(learnt[1]) > log(STRENGTH_MOST))
        return error_set(error, STATUS_QUALITY,
                         "what lies between the two inks is like no blend of them: the nearest is "
                         "%.1f delta E off and leans %.1f of the way from one law to the other; "
                         "see that the strip is theirs and each cell the blend it should be",
                         off, learnt[0]);
    habit->basis = BLEND_TESTED;
    habit->lean = learnt[0];
    habit->strength = exp(learnt[1]);
    habit->rest = rest_of(&learning, learnt);
    return STATUS_OK;
}
