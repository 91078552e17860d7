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

enum { SWATCHES_MAX = 64, INKS_MAX = 64, READINGS_MAX = 32, MINUTES_OF_30_DAYS = 43200 };

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

/* What is true of one swatch: its colour when made, when dry, and 30 days of fading later. */
struct drying_truth {
    struct lab wet, dry, faded;
};

static struct lab on_the_way(struct lab from, struct lab to, double part)
{
    return (struct lab){from.L + (to.L - from.L) * part, from.a + (to.a - from.a) * part,
                        from.b + (to.b - from.b) * part};
}

static struct lab colour_at(const struct drying_case *drying, const struct drying_truth *truth,
                            double minutes)
{
    struct lab drying_now = on_the_way(truth->dry, truth->wet, exp(-minutes / drying->tau_minutes));
    struct lab faded_now = on_the_way(truth->dry, truth->faded, minutes / MINUTES_OF_30_DAYS);

    return (struct lab){drying_now.L + faded_now.L - truth->dry.L,
                        drying_now.a + faded_now.a - truth->dry.a,
                        drying_now.b + faded_now.b - truth->dry.b};
}

static void make_readings(const struct drying_case *drying, const struct drying_truth *truth,
                          gsl_rng *rng, struct observation *readings)
{
    for (int i = 0; i < drying->readings; i++) {
        struct lab now = colour_at(drying, truth, drying->minutes[i]);

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

/* Sums; rates_of_drying makes rates of them. */
static void add_fit(const struct drying_case *drying, const struct drying_truth *truth,
                    const struct drying *fit, struct drying_rates *sums)
{
    double moved = colour_delta_e_2000(truth->wet, truth->dry);
    double settled_s = moved > fit->noise ? 60 * drying->tau_minutes * log(moved / fit->noise) : 0;

    sums->unmoved += fit->state == DRYING_UNMOVED;
    sums->fading += fit->state == DRYING_FADING;
    if (fit->state == DRYING_FADING)
        sums->drift += holds(&fit->fading, colour_delta_e_2000(truth->dry, truth->faded));
    if (!fit->fitted || (drying->drift > 0 && fit->state != DRYING_FADING))
        return; /* a drift not seen: no colour is the dry one */
    sums->fitted++;
    sums->dry += (holds(&fit->dry_axis[0], truth->dry.L) + holds(&fit->dry_axis[1], truth->dry.a) +
                  holds(&fit->dry_axis[2], truth->dry.b)) /
                 3.0;
    sums->moved += holds(&fit->moved, moved);
    if (!(fit->tau_s.value > 0))
        return;
    sums->curves++;
    sums->tau += holds(&fit->tau_s, 60 * drying->tau_minutes);
    sums->settled += holds(&fit->settled_s, settled_s);
}

static double rate(double sum, double of)
{
    return of > 0 ? sum / of : NAN;
}

struct drying_rates rates_of_drying(const struct drying_case *drying, int runs)
{
    gsl_rng *rng = generator(20260505);
    struct drying_rates sums = {0};

    for (int run = 0; run < runs; run++) {
        struct observation readings[READINGS_MAX];
        struct drying_truth truth;
        struct drying fit;
        struct error error;

        truth.dry = random_colour(rng);
        truth.wet = in_random_direction(truth.dry, drying->moved, rng);
        truth.faded = in_random_direction(truth.dry, drying->drift, rng);
        make_readings(drying, &truth, rng, readings);
        stop_on(drying_fit(readings, (size_t)drying->readings, NULL, &fit, &error), &error);
        add_fit(drying, &truth, &fit, &sums);
    }
    gsl_rng_free(rng);
    return (struct drying_rates){.tau = rate(drying->moved > 0 ? sums.tau : NAN, sums.curves),
                                 .dry = rate(sums.dry, sums.fitted),
                                 .moved = rate(sums.moved, sums.fitted),
                                 .settled = rate(sums.settled, sums.curves),
                                 .drift = rate(drying->drift > 0 ? sums.drift : NAN, sums.fading),
                                 .fitted = sums.fitted / runs,
                                 .curves = sums.curves / runs,
                                 .unmoved = sums.unmoved / runs,
                                 .fading = sums.fading / runs};
}
