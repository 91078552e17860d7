#include "analysis/batches.h"

#include "alarms.h"
#include "magnitude.h"
#include "base/memory.h"
#include "comparison.h"
#include "values/linear.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define LEVEL 0.05

/* --- one ink -------------------------------------------------------------------------------- */

/*
 * The freedom of a sum of two estimated covariances, seen along the difference.
 * Source: Yao 1965, "An approximate degrees of freedom solution to the
 * multivariate Behrens-Fisher problem".
 */
static double joint_freedom(const struct magnitude *magnitude, const double part[2][9],
                            const double freedom[2])
{
    double inverse[9], turned[3], reciprocal = 0, whole = 0;

    linear_invert_3x3(magnitude->covariance, inverse);
    linear_apply_3x3(inverse, magnitude->difference, turned);
    for (int i = 0; i < 3; i++)
        whole += turned[i] * magnitude->difference[i];
    for (int i = 0; i < 2 && whole > 0; i++) {
        double carried[3], along = 0;

        linear_apply_3x3(part[i], turned, carried);
        for (int j = 0; j < 3; j++)
            along += turned[j] * carried[j];
        reciprocal += along / whole * along / whole / freedom[i];
    }
    return reciprocal > 0 ? 1 / reciprocal : fmin(freedom[0], freedom[1]);
}

static struct magnitude magnitude_of(const struct comparison *comparison,
                                     const struct swatch_spread *spread)
{
    struct magnitude magnitude = {.freedom = INFINITY};
    double part[2][9];

    comparison_swatch(comparison, spread, part[0]);
    for (int i = 0; i < 9; i++) {
        part[0][i] *= comparison->parts;
        part[1][i] = comparison->photo[i];
        magnitude.covariance[i] = part[0][i] + part[1][i];
    }
    memcpy(magnitude.difference, comparison->difference, sizeof magnitude.difference);
    magnitude.freedom = joint_freedom(&magnitude, (const double(*)[9])part,
                                      (double[2]){spread->freedom, comparison->photo_freedom});
    return magnitude;
}

static double length(const double vector[3])
{
    return sqrt(vector[0] * vector[0] + vector[1] * vector[1] + vector[2] * vector[2]);
}

/* What delta E 2000 a length in local steps is: far apart, they are not quite the same. */
static double scale_of(const struct comparison *comparison)
{
    double size = length(comparison->difference);

    return size > 1 ? colour_delta_e_2000(comparison->before, comparison->after) / size : 1;
}

enum verdict batches_verdict(double low, double high, double tolerance)
{
    if (low > tolerance)
        return VERDICT_DIFFERENT;
    return high <= tolerance ? VERDICT_SAME : VERDICT_CANNOT_TELL;
}

/* Whether so many swatches of each batch in one photo would settle it, if the difference stays. */
static bool would_settle(const struct comparison *comparison, const struct swatch_spread *spread,
                         double tolerance, int swatches)
{
    struct magnitude magnitude = {.freedom = spread->freedom};
    double low, high, scale = scale_of(comparison);

    memcpy(magnitude.difference, comparison->difference, sizeof magnitude.difference);
    comparison_swatch(comparison, spread, magnitude.covariance);
    for (int i = 0; i < 9; i++)
        magnitude.covariance[i] *= 2.0 / swatches;
    magnitude.freedom = fmax(magnitude.freedom, 2 * swatches - 2);
    magnitude_interval(&magnitude, &low, &high);
    return batches_verdict(low * scale, high * scale, tolerance) != VERDICT_CANNOT_TELL;
}

static int swatches_wanted(const struct comparison *comparison, const struct swatch_spread *spread,
                           double tolerance)
{
    int low = 0, high = BATCHES_SWATCHES_MAX;

    if (!would_settle(comparison, spread, tolerance, high))
        return 0;
    while (high - low > 1) {
        int middle = (low + high) / 2;

        if (would_settle(comparison, spread, tolerance, middle))
            high = middle;
        else
            low = middle;
    }
    return high;
}

/* Everything about one ink but what depends on the others. */
static void describe(const struct comparison *comparison, const struct magnitude *magnitude,
                     struct batch_verdict *verdict)
{
    double scale = scale_of(comparison);

    verdict->verdict = VERDICT_CANNOT_TELL;
    verdict->difference = difference_between(comparison->before, comparison->after);
    verdict->same_photo = comparison->same_photo;
    magnitude_interval(magnitude, &verdict->low, &verdict->high);
    verdict->low *= scale;
    verdict->high *= scale;
    verdict->chance = magnitude_chance(magnitude);
}

/* --- all inks ------------------------------------------------------------------------------- */

/* The room and the findings of one comparison of many inks. */
struct comparing {
    const struct batch_pair *pairs;
    const struct batches_question *question;
    struct comparison *comparisons;
    struct swatch_spread spread;
    double *chances; /* of those asked, that nothing differs */
    size_t *place;   /* of the asked ones among all */
};

static enum status make_room(size_t count, struct comparing *comparing, struct batches *batches,
                             struct error *error)
{
    comparing->comparisons = memory_array(count, sizeof *comparing->comparisons, "the inks", error);
    comparing->chances = memory_array(count, sizeof *comparing->chances, "the inks", error);
    comparing->place = memory_array(count, sizeof *comparing->place, "the inks", error);
    batches->verdicts = memory_array(count, sizeof *batches->verdicts, "the inks", error);
    batches->count = count;
    return comparing->comparisons && comparing->chances && comparing->place && batches->verdicts
               ? STATUS_OK
               : error->status;
}

static void release_room(struct comparing *comparing)
{
    free(comparing->comparisons);
    free(comparing->chances);
    free(comparing->place);
}

static void look_at_each(struct comparing *comparing, struct batches *batches)
{
    for (size_t i = 0; i < batches->count; i++) {
        const struct comparison *comparison = &comparing->comparisons[i];
        struct batch_verdict *verdict = &batches->verdicts[i];
        struct magnitude magnitude;

        verdict->verdict = VERDICT_MISSING;
        if (!comparison->usable || !comparing->pairs[i].asked)
            continue;
        magnitude = magnitude_of(comparison, &comparing->spread);
        describe(comparison, &magnitude, verdict);
        comparing->place[batches->asked] = i;
        comparing->chances[batches->asked++] = verdict->chance;
    }
}

static void decide(struct comparing *comparing, struct batches *batches)
{
    double tolerance = comparing->question->tolerance;

    for (size_t i = 0; i < batches->asked; i++) {
        size_t place = comparing->place[i];
        struct batch_verdict *verdict = &batches->verdicts[place];

        verdict->chance = comparing->chances[i];
        verdict->seen = verdict->chance < LEVEL;
        verdict->verdict = batches_verdict(verdict->low, verdict->high, tolerance);
        /* where any difference at all counts, of many inks some differ by chance */
        if (verdict->verdict == VERDICT_DIFFERENT && !(tolerance > 0) && !verdict->seen)
            verdict->verdict = VERDICT_CANNOT_TELL;
        if (verdict->verdict == VERDICT_CANNOT_TELL)
            verdict->swatches_wanted =
                swatches_wanted(&comparing->comparisons[place], &comparing->spread, tolerance);
    }
}

static void note_spread(const struct swatch_spread *spread, struct batches *batches)
{
    const double *covariance = spread->covariance;

    batches->spread = sqrt((covariance[0] + covariance[4] + covariance[8]) / 3);
    batches->spread_freedom = spread->freedom;
    batches->spread_assumed = spread->assumed;
}

enum status batches_compare(const struct batch_pair *pairs, size_t count,
                            const struct batches_question *question, struct batches *batches,
                            struct error *error)
{
    struct comparing comparing = {.pairs = pairs, .question = question};
    enum status status;

    memset(batches, 0, sizeof *batches);
    status = make_room(count, &comparing, batches, error);
    for (size_t i = 0; !status && i < count; i++)
        comparison_prepare(&pairs[i], &comparing.comparisons[i]);
    if (!status) {
        comparing.spread = comparison_spread(pairs, comparing.comparisons, count, question->spread);
        note_spread(&comparing.spread, batches);
        status =
            comparison_take_shift(comparing.comparisons, count, &comparing.spread, batches, error);
    }
    if (!status) {
        look_at_each(&comparing, batches);
        status = alarms_holm(comparing.chances, batches->asked, comparing.chances, error);
    }
    if (!status)
        decide(&comparing, batches);
    release_room(&comparing);
    if (status)
        batches_release(batches);
    return status;
}

void batches_release(struct batches *batches)
{
    free(batches->verdicts);
    memset(batches, 0, sizeof *batches);
}

const char *batches_words(enum verdict verdict)
{
    static const char *const words[] = {[VERDICT_SAME] = "same",
                                        [VERDICT_DIFFERENT] = "different",
                                        [VERDICT_CANNOT_TELL] = "cannot tell",
                                        [VERDICT_MISSING] = "missing"};

    return words[verdict];
}
