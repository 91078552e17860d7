#include "analysis/settled.h"

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

/* Whether one reading is to be taken before another of the same dryness. */
static bool is_better(const struct observation *a, const struct observation *b)
{
    if (a->faulty != b->faulty)
        return b->faulty;
    if (a->taken_known != b->taken_known)
        return a->taken_known;
    if (a->taken_known && a->taken_s != b->taken_s)
        return a->taken_s > b->taken_s;
    return a->photo > b->photo;
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

static void take_sum(struct range_ink *ink, const struct observation *observation)
{
    ink->lab.L += observation->lab.L;
    ink->lab.a += observation->lab.a;
    ink->lab.b += observation->lab.b;
    for (int i = 0; i < 9; i++) {
        ink->covariance_own[i] += observation->covariance_own[i];
        ink->covariance_shared[i] += observation->covariance_shared[i];
    }
}

/* The mean over the swatches that are as good as the best one and in the same photo. */
static void take_photo(const struct observation *observations, size_t count,
                       const struct observation *best, struct range_ink *ink)
{
    double swatches = 0;

    for (size_t i = 0; i < count; i++)
        if (observations[i].photo == best->photo && observations[i].faulty == best->faulty &&
            dryness_of(&observations[i]) == dryness_of(best)) {
            take_sum(ink, &observations[i]);
            swatches++;
        }
    ink->lab.L /= swatches;
    ink->lab.a /= swatches;
    ink->lab.b /= swatches;
    for (int i = 0; i < 9; i++) {
        ink->covariance_own[i] /= swatches * swatches;
        ink->covariance_shared[i] /= swatches; /* shared: the mean does not lessen it */
    }
    ink->photo = best->dry_end ? 0 : best->photo;
}

static void clear_colour(struct range_ink *ink)
{
    ink->basis = COLOUR_NONE;
    ink->lab = (struct lab){0, 0, 0};
    ink->photo = 0;
    memset(ink->covariance_own, 0, sizeof ink->covariance_own);
    memset(ink->covariance_shared, 0, sizeof ink->covariance_shared);
}

void settled_colour(struct observation *observations, size_t count, struct range_ink *ink)
{
    static const enum colour_basis basis_of[DRYNESSES] = {[DRYNESS_DRY] = COLOUR_SETTLED,
                                                          [DRYNESS_DRY_END] = COLOUR_DRY_END,
                                                          [DRYNESS_UNKNOWN] = COLOUR_AGE_UNKNOWN,
                                                          [DRYNESS_WET] = COLOUR_WET_ONLY};
    const struct observation *best = NULL;

    clear_colour(ink);
    observation_sort(observations, count);
    for (int dryness = DRYNESS_DRY; !best && dryness < DRYNESS_WET; dryness++)
        best = best_of(observations, count, (enum dryness)dryness);
    if (!best) {
        ink->basis = count ? COLOUR_WET_ONLY : COLOUR_NONE;
        return;
    }
    take_photo(observations, count, best, ink);
    ink->basis = basis_of[dryness_of(best)];
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
