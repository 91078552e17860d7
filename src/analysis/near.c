#include "analysis/near.h"

#include "base/memory.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

struct interval near_interval(const struct range_ink *a, const struct range_ink *b)
{
    double covariance[9];

    range_difference_covariance(a, b, covariance);
    return interval_of_difference(a->lab, b->lab, covariance);
}

/* --- verdicts ------------------------------------------------------------------------------- */

enum likeness near_likeness(double delta_e, double within)
{
    if (delta_e <= fmin(NEAR_SAME, within))
        return LIKENESS_SAME;
    return delta_e <= within ? LIKENESS_CLOSE : LIKENESS_APART;
}

const char *near_likeness_word(enum likeness likeness)
{
    static const char *const words[] = {
        [LIKENESS_SAME] = "same", [LIKENESS_CLOSE] = "close", [LIKENESS_APART] = "apart"};

    return words[likeness];
}

const char *near_verdict(const struct interval *interval, double within)
{
    static const char *const probably[] = {[LIKENESS_SAME] = "probably same",
                                           [LIKENESS_CLOSE] = "probably close",
                                           [LIKENESS_APART] = "probably apart"};
    enum likeness nearest = near_likeness(interval->low, within);
    enum likeness farthest = near_likeness(interval->high, within);
    enum likeness measured = near_likeness(interval->measured, within);

    if (nearest == farthest)
        return near_likeness_word(measured);
    /* with a tolerance no wider than "same" nothing stands between the two ends */
    if (nearest == LIKENESS_SAME && farthest == LIKENESS_APART && within > NEAR_SAME)
        return "cannot tell";
    return probably[measured];
}

void near_perhaps(const struct interval *interval, double within, char words[NEAR_PERHAPS_SIZE])
{
    int nearest = (int)near_likeness(interval->low, within);
    int farthest = (int)near_likeness(interval->high, within);
    int measured = (int)near_likeness(interval->measured, within);
    int length = 0;

    words[0] = '\0';
    for (int i = nearest; i <= farthest; i++) {
        /* with a tolerance no wider than "same" there is no "close" */
        if (i == measured || (i == LIKENESS_CLOSE && within <= NEAR_SAME))
            continue;
        length += snprintf(words + length, (size_t)(NEAR_PERHAPS_SIZE - length), "%s%s",
                           length ? ";" : "", near_likeness_word((enum likeness)i));
    }
}

/* --- the nearest to one colour -------------------------------------------------------------- */

void near_release(struct near_matches *matches)
{
    free(matches->items);
    memset(matches, 0, sizeof *matches);
}

static double farthest_kept(const struct near_matches *matches, const struct near_wish *wish)
{
    if (matches->count < wish->count)
        return HUGE_VAL;
    return matches->count ? matches->items[matches->count - 1].delta_e.measured : 0;
}

/* Put a match in its place, dropping the farthest once the list is full. */
static void keep(struct near_matches *matches, const struct near_wish *wish, size_t ink,
                 double delta_e)
{
    size_t at = matches->count < wish->count ? matches->count++ : matches->count - 1;

    for (; at > 0 && matches->items[at - 1].delta_e.measured > delta_e; at--)
        matches->items[at] = matches->items[at - 1];
    matches->items[at] = (struct near_match){0, ink, {delta_e, delta_e, delta_e}};
}

enum status near_find(const struct range_ink *asked, const struct range_ink *inks, size_t count,
                      const struct near_wish *wish, struct near_matches *matches,
                      struct error *error)
{
    memset(matches, 0, sizeof *matches);
    matches->items = memory_array(wish->count, sizeof *matches->items, "the nearest inks", error);
    if (!matches->items)
        return error->status;
    for (size_t i = 0; i < count; i++) {
        double limit = fmax(farthest_kept(matches, wish), wish->within);
        double delta_e;

        if (&inks[i] == asked || interval_floor(asked->lab, inks[i].lab) > limit)
            continue;
        delta_e = colour_delta_e_2000(asked->lab, inks[i].lab);
        matches->computed++;
        matches->within += delta_e <= wish->within;
        if (delta_e < farthest_kept(matches, wish))
            keep(matches, wish, i, delta_e);
    }
    for (size_t i = 0; i < matches->count; i++)
        matches->items[i].delta_e = near_interval(asked, &inks[matches->items[i].second]);
    return STATUS_OK;
}

/* --- all pairs ------------------------------------------------------------------------------ */

struct by_lightness {
    double L;
    size_t ink;
};

static int compare_lightness(const void *a, const void *b)
{
    const struct by_lightness *first = a, *second = b;

    if (first->L != second->L)
        return first->L < second->L ? -1 : 1;
    return first->ink < second->ink ? -1 : first->ink > second->ink;
}

static int compare_matches(const void *a, const void *b)
{
    const struct near_match *first = a, *second = b;

    if (first->delta_e.measured != second->delta_e.measured)
        return first->delta_e.measured < second->delta_e.measured ? -1 : 1;
    if (first->first != second->first)
        return first->first < second->first ? -1 : 1;
    return first->second < second->second ? -1 : first->second > second->second;
}

static enum status add_pair(struct near_matches *matches, const struct range_ink *inks, size_t a,
                            size_t b, struct error *error)
{
    if (matches->count == matches->capacity) {
        struct near_match *grown =
            memory_grow(matches->items, &matches->capacity, sizeof *grown, "the pairs", error);

        if (!grown)
            return error->status;
        matches->items = grown;
    }
    matches->items[matches->count++] = (struct near_match){
        a < b ? a : b, a < b ? b : a, near_interval(&inks[a < b ? a : b], &inks[a < b ? b : a])};
    return STATUS_OK;
}

/*
 * Lightness alone bounds a pair by dL / SL, and that grows with dL: SL changes by less than 0.0164
 * a unit of L*, so that (dL / SL)' > 0 as long as dL is below 120. Once a lighter ink is out of
 * reach, so are all that are lighter still.
 */
static enum status pairs_of(const struct by_lightness *sorted, size_t above,
                            const struct range_ink *inks, double within,
                            struct near_matches *matches, struct error *error)
{
    const struct range_ink *ink = &inks[sorted->ink];
    enum status status = STATUS_OK;

    for (size_t j = 1; !status && j <= above; j++) {
        const struct range_ink *other = &inks[sorted[j].ink];
        struct lab only_lighter = {other->lab.L, ink->lab.a, ink->lab.b};

        if (interval_floor(ink->lab, only_lighter) > within)
            break;
        if (interval_floor(ink->lab, other->lab) > within)
            continue;
        matches->computed++;
        if (colour_delta_e_2000(ink->lab, other->lab) <= within)
            status = add_pair(matches, inks, sorted->ink, sorted[j].ink, error);
    }
    return status;
}

enum status near_pairs(const struct range_ink *inks, size_t count, double within,
                       struct near_matches *matches, struct error *error)
{
    struct by_lightness *sorted = memory_array(count, sizeof *sorted, "the inks", error);
    enum status status = sorted ? STATUS_OK : error->status;

    memset(matches, 0, sizeof *matches);
    for (size_t i = 0; !status && i < count; i++)
        sorted[i] = (struct by_lightness){inks[i].lab.L, i};
    if (!status)
        qsort(sorted, count, sizeof *sorted, compare_lightness);
    for (size_t i = 0; !status && i < count; i++)
        status = pairs_of(sorted + i, count - 1 - i, inks, within, matches, error);
    free(sorted);
    if (!status && matches->count)
        qsort(matches->items, matches->count, sizeof *matches->items, compare_matches);
    matches->within = matches->count;
    if (status)
        near_release(matches);
    return status;
}
