#include "analysis/settled.h"

#include "measurement/radius.h"
#include "values/linear.h"
#include "values/statistics.h"

#include <math.h>
#include <string.h>

/* What is known of a reading's dryness, the best first. */
enum dryness { DRYNESS_DRY, DRYNESS_DRY_END, DRYNESS_UNKNOWN, DRYNESS_WET, DRYNESSES };

static enum dryness dryness_of(const struct observation *observation)
{
    int64_t age_s = observation_age_s(observation);

    if (observation->dry_end)
        return DRYNESS_DRY_END;
    if (age_s >= SETTLED_AGE_S)
        return DRYNESS_DRY;
    if (observation->settled_known && observation->taken_known)
        return observation->taken_s >= observation->settled_s ? DRYNESS_DRY : DRYNESS_WET;
    return age_s < 0 ? DRYNESS_UNKNOWN : DRYNESS_WET;
}

/* --- which readings count ------------------------------------------------------------------ */

#define AGREES 0.01 /* the chance that two readings of one dry swatch are told apart */

/* Whether one reading was taken after another; of unknown times, the one stored later. */
static bool is_later(const struct observation *a, const struct observation *b)
{
    if (a->taken_known != b->taken_known)
        return a->taken_known;
    if (a->taken_known && a->taken_s != b->taken_s)
        return a->taken_s > b->taken_s;
    return a->photo > b->photo;
}

/* Whether one reading is to be taken before another of the same dryness. */
static bool is_better(const struct observation *a, const struct observation *b)
{
    if (a->faulty != b->faulty)
        return b->faulty;
    if (!a->paper != !b->paper)
        return !a->paper;
    return is_later(a, b);
}

static const struct observation *best_of(const struct observation *observations, size_t count,
                                         enum dryness dryness)
{
    const struct observation *best = NULL;

    for (size_t i = 0; i < count; i++)
        if (dryness_of(&observations[i]) == dryness && (!best || is_better(&observations[i], best)))
            best = &observations[i];
    return best;
}

/* What one reading states of its error, all of it. */
static void add_stated(const struct observation *observation, double covariance[9])
{
    for (int i = 0; i < 9; i++)
        covariance[i] += observation->covariance_own[i] + observation->covariance_shared[i];
}

/* How far a colour is from another in deviations, squared. */
static double deviations_square(struct lab a, struct lab b, const double covariance[9])
{
    const double step[3] = {a.L - b.L, a.a - b.a, a.b - b.b};
    double widened[9], inverse[9], carried[3];

    for (int i = 0; i < 9; i++)
        widened[i] = covariance[i] + (i % 4 == 0 ? 1e-4 : 0); /* where nothing is stated */
    linear_invert_3x3(widened, inverse);
    linear_apply_3x3(inverse, step, carried);
    return step[0] * carried[0] + step[1] * carried[1] + step[2] * carried[2];
}

/* Whether two readings may be of one colour. */
static bool agrees(const struct observation *a, const struct observation *b)
{
    double covariance[9] = {0};

    add_stated(a, covariance);
    add_stated(b, covariance);
    return statistics_chi_square_beyond(deviations_square(a->lab, b->lab, covariance), 3, 0) >
           AGREES;
}

/* Whether a reading counts beside the best one. */
static bool counts(const struct observation *observation, const struct observation *best)
{
    enum dryness dryness = dryness_of(best);

    if (dryness_of(observation) != dryness || observation->faulty != best->faulty ||
        observation->paper != best->paper || observation->batch != best->batch)
        return false;
    if (dryness == DRYNESS_DRY_END) /* its error is that of a fit, not of a photo */
        return observation->photo == best->photo;
    /* what was read wet and what was read dry are told apart by what they differ */
    return dryness == DRYNESS_DRY || agrees(observation, best);
}

/* --- a photo -------------------------------------------------------------------------------- */

/* The ink's swatches in one photo, averaged. */
struct in_photo {
    int64_t photo;
    double swatches;
    struct lab lab;
    double own[9], shared[9]; /* covariances, Lab */
    double variance;          /* delta E 2000 squared */
    double weight;
};

static void add_swatch(struct in_photo *in_photo, const struct observation *observation)
{
    in_photo->swatches++;
    in_photo->lab.L += observation->lab.L;
    in_photo->lab.a += observation->lab.a;
    in_photo->lab.b += observation->lab.b;
    for (int i = 0; i < 9; i++) {
        in_photo->own[i] += observation->covariance_own[i];
        in_photo->shared[i] += observation->covariance_shared[i];
    }
}

static void take_photo(struct observation *observations, size_t count,
                       const struct observation *latest, struct in_photo *in_photo)
{
    double swatches, metric[9];

    *in_photo = (struct in_photo){.photo = latest->photo, .variance = 1e-4};
    for (size_t i = 0; i < count; i++)
        if (observations[i].counted && observations[i].photo == latest->photo)
            add_swatch(in_photo, &observations[i]);
    swatches = in_photo->swatches;
    in_photo->lab.L /= swatches;
    in_photo->lab.a /= swatches;
    in_photo->lab.b /= swatches;
    colour_metric(in_photo->lab, metric);
    for (int i = 0; i < 9; i++) {
        in_photo->own[i] /= swatches * swatches;
        in_photo->shared[i] /= swatches; /* shared: the mean does not lessen it */
        in_photo->variance += metric[i] * (in_photo->own[i] + in_photo->shared[i]);
    }
}

static bool is_taken(const struct in_photo *photos, int taken, int64_t photo)
{
    for (int i = 0; i < taken; i++)
        if (photos[i].photo == photo)
            return true;
    return false;
}

/* The latest photos that count, the latest first. */
static int take_photos(struct observation *observations, size_t count,
                       struct in_photo photos[RANGE_PHOTOS_MAX])
{
    int taken = 0;

    while (taken < RANGE_PHOTOS_MAX) {
        const struct observation *latest = NULL;

        for (size_t i = 0; i < count; i++)
            if (observations[i].counted && !is_taken(photos, taken, observations[i].photo) &&
                (!latest || is_later(&observations[i], latest)))
                latest = &observations[i];
        if (!latest)
            break;
        take_photo(observations, count, latest, &photos[taken++]);
    }
    return taken;
}

/* --- all of them ---------------------------------------------------------------------------- */

#define DOUBT_TOO_LARGE                                                                            \
    2.0 /* times that of the best photo: what is worse adds doubt; no source                       \
         */

/* Weigh the photos by what they are worth, the worst not at all. */
static void weigh(struct in_photo *photos, int count)
{
    double best = HUGE_VAL, sum = 0;

    for (int i = 0; i < count; i++)
        best = fmin(best, photos[i].variance);
    for (int i = 0; i < count; i++) {
        bool left_out = photos[i].variance > DOUBT_TOO_LARGE * DOUBT_TOO_LARGE * best;

        photos[i].weight = left_out ? 0 : 1 / photos[i].variance;
        sum += photos[i].weight;
    }
    for (int i = 0; i < count; i++)
        photos[i].weight /= sum;
}

static void combine(const struct in_photo *photos, int count, struct range_ink *ink)
{
    for (int i = 0; i < count; i++) {
        double weight = photos[i].weight;

        if (!(weight > 0))
            continue;
        ink->photos[ink->photo_count++] = (struct range_photo){photos[i].photo, weight};
        ink->lab.L += weight * photos[i].lab.L;
        ink->lab.a += weight * photos[i].lab.a;
        ink->lab.b += weight * photos[i].lab.b;
        for (int j = 0; j < 9; j++) {
            ink->covariance_own[j] += weight * weight * photos[i].own[j];
            ink->covariance_shared[j] += weight * photos[i].shared[j];
        }
    }
}

/* Photos that differ by more than they state show an error that none of them states. */
static void add_excess(const struct in_photo *photos, int count, struct range_ink *ink)
{
    double squares = 0, stated[9] = {0}, excess;

    for (int i = 0; i < count; i++) {
        double weight = photos[i].weight, covariance[9];

        if (!(weight > 0))
            continue;
        for (int j = 0; j < 9; j++) {
            covariance[j] = photos[i].own[j] + photos[i].shared[j];
            stated[j] += weight * weight * covariance[j];
        }
        squares += deviations_square(photos[i].lab, ink->lab, covariance);
    }
    if (ink->photo_count < 2)
        return;
    excess = squares / (3 * (ink->photo_count - 1)) - 1;
    for (int j = 0; j < 9 && excess > 0; j++)
        ink->covariance_own[j] += excess * stated[j];
}

static void state_doubt(struct range_ink *ink)
{
    double covariance[9];

    for (int i = 0; i < 9; i++)
        covariance[i] = ink->covariance_own[i] + ink->covariance_shared[i];
    ink->u95 = radius_95(ink->lab, covariance);
}

static void clear_colour(struct range_ink *ink)
{
    ink->basis = COLOUR_NONE;
    ink->lab = (struct lab){0, 0, 0};
    ink->u95 = 0;
    ink->photo_count = ink->counted = 0;
    memset(ink->covariance_own, 0, sizeof ink->covariance_own);
    memset(ink->covariance_shared, 0, sizeof ink->covariance_shared);
}

/* Count only what is in the photos that were combined. */
static void keep_counted(struct observation *observations, size_t count, struct range_ink *ink)
{
    for (size_t i = 0; i < count; i++) {
        bool used = false;

        for (int j = 0; j < ink->photo_count; j++)
            used = used || ink->photos[j].photo == observations[i].photo;
        observations[i].counted = observations[i].counted && used;
        ink->counted += observations[i].counted;
    }
}

void settled_colour(struct observation *observations, size_t count, struct range_ink *ink)
{
    static const enum colour_basis basis_of[DRYNESSES] = {[DRYNESS_DRY] = COLOUR_SETTLED,
                                                          [DRYNESS_DRY_END] = COLOUR_DRY_END,
                                                          [DRYNESS_UNKNOWN] = COLOUR_AGE_UNKNOWN,
                                                          [DRYNESS_WET] = COLOUR_WET_ONLY};
    const struct observation *best = NULL;
    struct in_photo photos[RANGE_PHOTOS_MAX];
    int taken;

    clear_colour(ink);
    observation_sort(observations, count);
    for (int dryness = DRYNESS_DRY; !best && dryness < DRYNESS_WET; dryness++)
        best = best_of(observations, count, (enum dryness)dryness);
    for (size_t i = 0; i < count; i++)
        observations[i].counted = best && counts(&observations[i], best);
    ink->basis = best ? basis_of[dryness_of(best)] : count ? COLOUR_WET_ONLY : COLOUR_NONE;
    if (!best)
        return;
    taken = take_photos(observations, count, photos);
    weigh(photos, taken);
    combine(photos, taken, ink);
    add_excess(photos, taken, ink);
    state_doubt(ink);
    keep_counted(observations, count, ink);
    if (ink->basis == COLOUR_DRY_END)
        ink->photo_count = 0; /* a fit's error is no photo's */
}

bool settled_is_wet(const struct observation *observation)
{
    return dryness_of(observation) == DRYNESS_WET;
}

const char *settled_words(enum colour_basis basis)
{
    static const char *const words[] = {[COLOUR_SETTLED] = "settled",
                                        [COLOUR_DRY_END] = "dry end of its fit",
                                        [COLOUR_AGE_UNKNOWN] = "age unknown",
                                        [COLOUR_WET_ONLY] = "wet only",
                                        [COLOUR_NONE] = "never measured"};

    return words[basis];
}
