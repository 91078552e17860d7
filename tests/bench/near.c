/* Time the search for the nearest inks among 100,000 against a plain scan of all. */
#include "analysis/near.h"

#include <stdio.h>
#include <stdlib.h>
#include <time.h>

enum { INKS = 100000, ASKED = 40, PAIR_INKS = 4000 };

static double seconds(void)
{
    struct timespec now;

    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

static double uniform(double from, double to)
{
    return from + (to - from) * (rand() / (RAND_MAX + 1.0));
}

/* What near_find does, without the bound. */
static double scan(const struct range_ink *asked, const struct range_ink *inks, size_t count)
{
    double nearest = 1e9;

    for (size_t i = 0; i < count; i++) {
        double delta_e = &inks[i] == asked ? 1e9 : colour_delta_e_2000(asked->lab, inks[i].lab);

        nearest = delta_e < nearest ? delta_e : nearest;
    }
    return nearest;
}

static double scan_pairs(const struct range_ink *inks, size_t count, double within)
{
    double pairs = 0;

    for (size_t i = 0; i < count; i++)
        for (size_t j = i + 1; j < count; j++)
            pairs += colour_delta_e_2000(inks[i].lab, inks[j].lab) <= within;
    return pairs;
}

static int time_nearest(const struct range_ink *inks)
{
    const struct near_wish wish = {NEAR_CLOSE, 8};
    struct near_matches matches;
    struct error error;
    double start = seconds(), plain, bounded, checksum = 0, computed = 0;

    for (size_t i = 0; i < ASKED; i++)
        checksum += scan(&inks[i * 100], inks, INKS);
    plain = seconds() - start;
    start = seconds();
    for (size_t i = 0; i < ASKED; i++) {
        if (near_find(&inks[i * 100], inks, INKS, &wish, &matches, &error))
            return 1;
        checksum -= matches.items[0].delta_e.measured;
        computed += (double)matches.computed;
        near_release(&matches);
    }
    bounded = seconds() - start;
    printf("near, %d inks: %.1f ms for one, a plain scan %.1f ms: ratio %.2f; %.1f %% of delta E "
           "2000 computed; results differ by %g\n",
           INKS, 1e3 * bounded / ASKED, 1e3 * plain / ASKED, bounded / plain,
           100 * computed / ASKED / INKS, checksum);
    return 0;
}

static int time_pairs(const struct range_ink *inks)
{
    struct near_matches matches;
    struct error error;
    double start = seconds(), plain, bounded;
    double pairs = scan_pairs(inks, PAIR_INKS, NEAR_CLOSE);

    plain = seconds() - start;
    start = seconds();
    if (near_pairs(inks, PAIR_INKS, NEAR_CLOSE, &matches, &error))
        return 1;
    bounded = seconds() - start;
    printf(
        "near --pairs, %d inks: %.2f s, a plain scan %.2f s: ratio %.2f; %zu pairs, plain %.0f\n",
        PAIR_INKS, bounded, plain, bounded / plain, matches.count, pairs);
    near_release(&matches);
    return 0;
}

int main(void)
{
    struct range_ink *inks = calloc(INKS, sizeof *inks);
    int failed;

    if (!inks)
        return 1;
    srand(100);
    for (int i = 0; i < INKS; i++)
        inks[i].lab = (struct lab){uniform(10, 95), uniform(-60, 70), uniform(-60, 90)};
    failed = time_nearest(inks) || time_pairs(inks);
    free(inks);
    return failed;
}
