#include "comparison.h"

#include "analysis/perceptual.h"
#include "values/linear.h"

#include <math.h>
#include <string.h>

#define SHARE_MIN 1e-9

static void add_scaled(double sum[9], const double matrix[9], double factor)
{
    for (int i = 0; i < 9; i++)
        sum[i] += factor * matrix[i];
}

static struct lab mean_colour(const struct observation *swatches, size_t count)
{
    struct lab mean = {0, 0, 0};

    for (size_t i = 0; i < count; i++) {
        mean.L += swatches[i].lab.L / (double)count;
        mean.a += swatches[i].lab.a / (double)count;
        mean.b += swatches[i].lab.b / (double)count;
    }
    return mean;
}

/* The share a photo has in the mean of one side, and the sum of its shared covariances there. */
static double photo_share(const struct observation *swatches, size_t count, int64_t photo,
                          double shared[9])
{
    double share = 0;

    for (size_t i = 0; i < count; i++) {
        if (swatches[i].photo != photo)
            continue;
        share += 1 / (double)count;
        add_scaled(shared, swatches[i].covariance_shared, 1);
    }
    return share;
}

static bool seen_before(const struct batch_pair *pair, size_t place)
{
    for (size_t i = 0; i < place; i++) {
        const struct observation *earlier =
            i < pair->before_count ? &pair->before[i] : &pair->after[i - pair->before_count];
        const struct observation *here = place < pair->before_count
                                             ? &pair->before[place]
                                             : &pair->after[place - pair->before_count];

        if (earlier->photo == here->photo)
            return true;
    }
    return false;
}

/* A photo's error moves the difference by as much as its shares in the two sides differ; returns
 * whether they do. */
static bool add_photo(const struct batch_pair *pair, int64_t photo, double covariance[9])
{
    double shared[9] = {0}, swatches = 0, share;

    share = photo_share(pair->after, pair->after_count, photo, shared) -
            photo_share(pair->before, pair->before_count, photo, shared);
    for (size_t i = 0; i < pair->before_count; i++)
        swatches += pair->before[i].photo == photo;
    for (size_t i = 0; i < pair->after_count; i++)
        swatches += pair->after[i].photo == photo;
    add_scaled(covariance, shared, share * share / swatches);
    return fabs(share) > SHARE_MIN;
}

/* Returns whether any photo's error stays in the difference. */
static bool add_photos(const struct batch_pair *pair, double covariance[9])
{
    bool differ = false;

    for (size_t i = 0; i < pair->before_count + pair->after_count; i++) {
        if (seen_before(pair, i))
            continue;
        differ |= add_photo(pair,
                            i < pair->before_count ? pair->before[i].photo
                                                   : pair->after[i - pair->before_count].photo,
                            covariance);
    }
    return differ;
}

static void own_covariance(const struct batch_pair *pair, double covariance[9])
{
    double count = (double)(pair->before_count + pair->after_count);

    for (size_t i = 0; i < pair->before_count; i++)
        add_scaled(covariance, pair->before[i].covariance_own, 1 / count);
    for (size_t i = 0; i < pair->after_count; i++)
        add_scaled(covariance, pair->after[i].covariance_own, 1 / count);
}

static double trace(const double matrix[9])
{
    return matrix[0] + matrix[4] + matrix[8];
}

void comparison_prepare(const struct batch_pair *pair, struct comparison *comparison)
{
    double own[9] = {0}, photo[9] = {0};
    struct lab before, after;

    memset(comparison, 0, sizeof *comparison);
    comparison->photo_freedom = INFINITY;
    comparison->usable = pair->before_count && pair->after_count;
    if (!comparison->usable)
        return;
    before = comparison->before = mean_colour(pair->before, pair->before_count);
    after = comparison->after = mean_colour(pair->after, pair->after_count);
    comparison->parts = 1 / (double)pair->before_count + 1 / (double)pair->after_count;
    perceptual_frame(perceptual_middle(before, after), comparison->frame);
    linear_apply_3x3(comparison->frame,
                     (double[3]){after.L - before.L, after.a - before.a, after.b - before.b},
                     comparison->difference);
    own_covariance(pair, own);
    comparison->same_photo = !add_photos(pair, photo);
    linear_carry_3x3(comparison->frame, own, comparison->own);
    linear_carry_3x3(comparison->frame, photo, comparison->photo);
}

/* --- the spread ----------------------------------------------------------------------------- */

/* Add the squares about the mean of the first `run` swatches, which share photo and batch. */
static void add_squares(const struct observation *swatches, size_t run, const double frame[9],
                        double squares[9])
{
    struct lab mean = mean_colour(swatches, run);

    for (size_t i = 0; i < run; i++) {
        double step[3];

        linear_apply_3x3(frame,
                         (double[3]){swatches[i].lab.L - mean.L, swatches[i].lab.a - mean.a,
                                     swatches[i].lab.b - mean.b},
                         step);
        for (int j = 0; j < 9; j++)
            squares[j] += step[j / 3] * step[j % 3];
    }
}

static double add_side(const struct observation *swatches, size_t count, const double frame[9],
                       double squares[9])
{
    double freedom = 0;

    for (size_t i = 0, run; i < count; i += run) {
        for (run = 1; i + run < count && swatches[i + run].photo == swatches[i].photo &&
                      swatches[i + run].batch == swatches[i].batch;)
            run++;
        add_squares(swatches + i, run, frame, squares);
        freedom += (double)run - 1;
    }
    return freedom;
}

static struct swatch_spread spread_told(double told)
{
    struct swatch_spread spread = {.freedom = INFINITY, .assumed = !(told > 0)};
    double used = told > 0 ? told : BATCHES_SPREAD_ASSUMED;

    for (int i = 0; i < 3; i++)
        spread.covariance[4 * i] = used * used;
    return spread;
}

struct swatch_spread comparison_spread(const struct batch_pair *pairs,
                                       const struct comparison *comparisons, size_t count,
                                       double told)
{
    struct swatch_spread spread = {{0}, 0, false};

    for (size_t i = 0; !(told > 0) && i < count; i++) {
        if (!comparisons[i].usable)
            continue;
        spread.freedom += add_side(pairs[i].before, pairs[i].before_count, comparisons[i].frame,
                                   spread.covariance);
        spread.freedom +=
            add_side(pairs[i].after, pairs[i].after_count, comparisons[i].frame, spread.covariance);
    }
    if (spread.freedom < BATCHES_FREEDOM_MIN)
        return spread_told(told);
    for (int i = 0; i < 9; i++)
        spread.covariance[i] /= spread.freedom;
    for (int i = 0; i < 3; i++)
        spread.covariance[4 * i] += 1e-9; /* swatches alike to the last digit */
    return spread;
}

void comparison_swatch(const struct comparison *comparison, const struct swatch_spread *spread,
                       double covariance[9])
{
    memcpy(covariance, spread->covariance, sizeof spread->covariance);
    if (!isfinite(spread->freedom))
        add_scaled(covariance, comparison->own, 1);
    else if (!comparison->same_photo && trace(comparison->own) > trace(covariance))
        /* swatches side by side do not show what a reading states of its error across photos */
        memcpy(covariance, comparison->own, sizeof comparison->own);
}
