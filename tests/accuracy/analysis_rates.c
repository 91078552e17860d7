#include "analysis_rates.h"

#include "analysis/batches.h"
#include "analysis/drying.h"
#include "analysis/perceptual.h"
#include "values/linear.h"

#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { SWATCHES_MAX = 64, INKS_MAX = 64, READINGS_MAX = 32 };

static gsl_rng *generator(unsigned long seed)
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_taus2);

    gsl_rng_set(rng, seed);
    return rng;
}

static void stop_on(enum status status, const struct error *error)
{
    if (!status)
        return;
    fprintf(stderr, "%s\n", error->message);
    exit(1);
}

/* --- colours -------------------------------------------------------------------------------- */

static struct lab random_colour(gsl_rng *rng)
{
    double chroma = gsl_ran_flat(rng, 5, 60), hue = gsl_ran_flat(rng, 0, 6.283185307);

    return (struct lab){gsl_ran_flat(rng, 25, 85), chroma * cos(hue), chroma * sin(hue)};
}

/* A Lab step that is `step` in perceptual terms at a colour. */
static struct lab moved_by(struct lab at, const double step[3])
{
    double frame[9], back[9], lab[3];

    perceptual_frame(at, frame);
    linear_invert_3x3(frame, back);
    linear_apply_3x3(back, step, lab);
    return (struct lab){at.L + lab[0], at.a + lab[1], at.b + lab[2]};
}

static struct lab with_error(struct lab at, double deviation, gsl_rng *rng)
{
    double step[3];

    for (int i = 0; i < 3; i++)
        step[i] = gsl_ran_gaussian_ziggurat(rng, deviation);
    return moved_by(at, step);
}

static struct lab in_random_direction(struct lab at, double delta_e, gsl_rng *rng)
{
    double step[3];

    gsl_ran_dir_3d(rng, &step[0], &step[1], &step[2]);
    for (int i = 0; i < 3; i++)
        step[i] *= delta_e;
    return moved_by(at, step);
}

/* The Lab covariance of an error with a given deviation per axis, perceptual. */
static void set_covariance(struct lab at, double deviation, double covariance[9])
{
    double frame[9], back[9], unit[9] = {0};

    for (int i = 0; i < 3; i++)
        unit[4 * i] = deviation * deviation;
    perceptual_frame(at, frame);
    linear_invert_3x3(frame, back);
    linear_carry_3x3(back, unit, covariance);
}

/* --- batches -------------------------------------------------------------------------------- */

struct batch_room {
    struct observation before[INKS_MAX][SWATCHES_MAX], after[INKS_MAX][SWATCHES_MAX];
    struct batch_pair pairs[INKS_MAX];
    struct lab truth[INKS_MAX][2];
};

static void make_side(struct lab truth, int swatches, double spread, gsl_rng *rng,
                      struct observation *side)
{
    for (int i = 0; i < swatches; i++) {
        memset(&side[i], 0, sizeof side[i]);
        side[i].lab = with_error(truth, spread, rng);
        side[i].photo = 1;
    }
}

static void make_inks(const struct batch_case *batches, gsl_rng *rng, struct batch_room *room)
{
    size_t swatches = (size_t)batches->swatches;

    for (int i = 0; i < batches->inks; i++) {
        struct lab truth = random_colour(rng);

        room->truth[i][0] = truth;
        room->truth[i][1] = in_random_direction(truth, batches->delta_e, rng);
        make_side(truth, batches->swatches, batches->spread, rng, room->before[i]);
        make_side(room->truth[i][1], batches->swatches, batches->spread, rng, room->after[i]);
        room->pairs[i] =
            (struct batch_pair){room->before[i], room->after[i], swatches, swatches, i == 0};
    }
}

static double true_delta_e(const struct lab truth[2])
{
    return colour_delta_e_2000(truth[0], truth[1]);
}

static bool is_wrong(enum verdict verdict, double truth, double tolerance)
{
    return (verdict == VERDICT_SAME && truth > tolerance) ||
           (verdict == VERDICT_DIFFERENT && truth < tolerance);
}

struct batch_rates rates_of_batches(const struct batch_case *batches, int runs)
{
    struct batches_question question = {BATCHES_TOLERANCE,
                                        batches->knowledge == SPREAD_TOLD ? batches->spread : 0};
    struct batch_room *room = calloc(1, sizeof *room);
    gsl_rng *rng = generator(20260503);
    struct batch_rates rates = {0, 0, 0, 0};

    for (int run = 0; run < runs; run++) {
        struct batches answer;
        struct error error;
        const struct batch_verdict *verdict;
        double truth;

        make_inks(batches, rng, room);
        stop_on(batches_compare(room->pairs, (size_t)batches->inks, &question, &answer, &error),
                &error);
        verdict = &answer.verdicts[0];
        truth = true_delta_e(room->truth[0]);
        rates.seen += (verdict->chance < 0.05) / (double)runs;
        rates.covered += (verdict->low <= truth && truth <= verdict->high) / (double)runs;
        rates.wrong += is_wrong(verdict->verdict, truth, question.tolerance) / (double)runs;
        rates.delta_e_mean += verdict->difference.delta_e / runs;
        batches_release(&answer);
    }
    gsl_rng_free(rng);
    free(room);
    return rates;
}

/* --- charts --------------------------------------------------------------------------------- */

static void make_chart(const struct chart_case *chart, gsl_rng *rng, struct batch_room *room)
{
    double shift[3];

    for (int k = 0; k < 3; k++)
        shift[k] = gsl_ran_gaussian_ziggurat(rng, chart->shift);
    for (int i = 0; i < chart->inks; i++) {
        struct lab *truth = room->truth[i];
        struct observation *before = room->before[i], *after = room->after[i];

        truth[0] = random_colour(rng);
        truth[1] = in_random_direction(truth[0], i < chart->changed ? chart->delta_e : 0, rng);
        make_side(truth[0], 1, 0.5, rng, before);
        make_side(truth[1], 1, 0.5, rng, after);
        after->photo = 2;
        after->lab = with_error(after->lab, chart->left_over, rng);
        after->lab.L += shift[0] * (after->lab.L + 16) / 66;
        after->lab.a += shift[1];
        after->lab.b += shift[2];
        set_covariance(truth[0], 1.0, before->covariance_shared);
        set_covariance(truth[0], 1.0, after->covariance_shared);
        room->pairs[i] = (struct batch_pair){before, after, 1, 1, true};
    }
}

struct chart_rates rates_of_charts(const struct chart_case *chart, int runs)
{
    struct batches_question question = {BATCHES_TOLERANCE, 0.5};
    struct batch_room *room = calloc(1, sizeof *room);
    gsl_rng *rng = generator(20260504);
    struct chart_rates rates = {0, 0, 0};

    for (int run = 0; run < runs; run++) {
        struct batches answer;
        struct error error;
        bool any = false;

        make_chart(chart, rng, room);
        stop_on(batches_compare(room->pairs, (size_t)chart->inks, &question, &answer, &error),
                &error);
        for (int i = 0; i < chart->inks; i++) {
            const struct batch_verdict *verdict = &answer.verdicts[i];
            double truth = true_delta_e(room->truth[i]);
            bool seen = verdict->chance < 0.05;

            any |= i >= chart->changed && seen;
            rates.seen += i < chart->changed ? seen / (double)(runs * chart->changed) : 0;
            rates.covered +=
                (verdict->low <= truth && truth <= verdict->high) / (double)(runs * chart->inks);
        }
        rates.any_false += any / (double)runs;
        batches_release(&answer);
    }
    gsl_rng_free(rng);
    free(room);
    return rates;
}

/* --- drying --------------------------------------------------------------------------------- */

static void make_readings(const struct drying_case *drying, const struct lab ends[2], gsl_rng *rng,
                          struct observation *readings)
{
    for (int i = 0; i < drying->readings; i++) {
        double left = exp(-drying->minutes[i] / drying->tau_minutes);
        struct lab now = {ends[1].L + (ends[0].L - ends[1].L) * left,
                          ends[1].a + (ends[0].a - ends[1].a) * left,
                          ends[1].b + (ends[0].b - ends[1].b) * left};

        memset(&readings[i], 0, sizeof readings[i]);
        readings[i].lab = with_error(now, drying->deviation, rng);
        set_covariance(now, drying->deviation, readings[i].covariance_own);
        readings[i].photo = i + 1;
        readings[i].taken_known = readings[i].inked_known = true;
        readings[i].taken_s = (int64_t)(60 * drying->minutes[i]);
    }
}

static bool holds(const struct drying_figure *figure, double truth)
{
    return figure->low <= truth && truth <= figure->high;
}

static void add_fit(const struct drying_case *drying, const struct lab ends[2],
                    const struct drying *fit, double part, struct drying_rates *rates)
{
    double truth = colour_delta_e_2000(ends[0], ends[1]);
    double settled_s = truth > fit->noise ? 60 * drying->tau_minutes * log(truth / fit->noise) : 0;

    rates->unmoved += part * (fit->state == DRYING_UNMOVED);
    rates->fading += part * (fit->state == DRYING_FADING);
    rates->tau += part * holds(&fit->tau_s, 60 * drying->tau_minutes);
    rates->dry += part / 3 *
                  (holds(&fit->dry_axis[0], ends[1].L) + holds(&fit->dry_axis[1], ends[1].a) +
                   holds(&fit->dry_axis[2], ends[1].b));
    rates->moved += part * holds(&fit->moved, truth);
    rates->settled += part * holds(&fit->settled_s, settled_s);
}

struct drying_rates rates_of_drying(const struct drying_case *drying, int runs)
{
    gsl_rng *rng = generator(20260505);
    struct drying_rates rates = {0, 0, 0, 0, 0, 0};

    for (int run = 0; run < runs; run++) {
        struct observation readings[READINGS_MAX];
        struct lab ends[2];
        struct drying fit;
        struct error error;

        ends[1] = random_colour(rng);
        ends[0] = in_random_direction(ends[1], drying->moved, rng);
        make_readings(drying, ends, rng, readings);
        stop_on(drying_fit(readings, (size_t)drying->readings, &fit, &error), &error);
        add_fit(drying, ends, &fit, 1.0 / runs, &rates);
    }
    gsl_rng_free(rng);
    return rates;
}
