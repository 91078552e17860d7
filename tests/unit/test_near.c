#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "analysis/near.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define INKS 400

static double uniform(double from, double to)
{
    return from + (to - from) * (rand() / (RAND_MAX + 1.0));
}

/* Box and Muller. */
static double normal(void)
{
    return sqrt(-2 * log(1 - uniform(0, 1))) * cos(6.283185307179586 * uniform(0, 1));
}

static struct lab random_lab(void)
{
    return (struct lab){uniform(0, 100), uniform(-110, 110), uniform(-110, 110)};
}

static void scatter(struct range_ink *inks, size_t count, double variance)
{
    memset(inks, 0, count * sizeof *inks);
    for (size_t i = 0; i < count; i++) {
        inks[i].lab = (struct lab){uniform(10, 95), uniform(-40, 50), uniform(-45, 60)};
        for (int k = 0; k < 3; k++)
            inks[i].covariance_own[4 * k] = variance;
    }
}

static void the_floor_is_never_above_delta_e_2000(void **state)
{
    double tightest = 0;

    (void)state;
    srand(1);
    for (int i = 0; i < 6000000; i++) {
        struct lab a = random_lab(), b = random_lab();
        double part = i % 3 == 0 ? 1 : pow(10, uniform(-3, 0)); /* near ones too */
        double floor, delta_e;

        if (i % 5 == 0)
            a.a = a.b = 0;
        b = (struct lab){a.L + part * (b.L - a.L), a.a + part * (b.a - a.a),
                         a.b + part * (b.b - a.b)};
        floor = interval_floor(a, b);
        delta_e = colour_delta_e_2000(a, b);
        if (floor > delta_e + 1e-9)
            fail_msg("%g > %g for %g %g %g and %g %g %g", floor, delta_e, a.L, a.a, a.b, b.L, b.a,
                     b.b);
        tightest = delta_e > 0 ? fmax(tightest, floor / delta_e) : tightest;
    }
    printf("  the floor reaches %.3f of delta E 2000 at most\n", tightest);
    assert_true(tightest > 0.9);
}

static int compare_doubles(const void *a, const void *b)
{
    const double *first = a, *second = b;

    return (*first > *second) - (*first < *second);
}

static void the_nearest_are_those_a_plain_scan_finds(void **state)
{
    static struct range_ink inks[INKS];
    struct near_wish wish = {6, 7};
    struct error error;

    (void)state;
    srand(2);
    scatter(inks, INKS, 0.1);
    for (size_t asked = 0; asked < INKS; asked++) {
        struct near_matches matches;
        double plain[INKS];
        size_t others = 0, within = 0;

        for (size_t i = 0; i < INKS; i++)
            if (i != asked)
                plain[others++] = colour_delta_e_2000(inks[asked].lab, inks[i].lab);
        for (size_t i = 0; i < others; i++)
            within += plain[i] <= wish.within;
        qsort(plain, others, sizeof *plain, compare_doubles);
        assert_int_equal(near_find(&inks[asked], inks, INKS, &wish, &matches, &error), STATUS_OK);
        assert_int_equal(matches.count, wish.count);
        assert_int_equal(matches.within, within);
        for (size_t i = 0; i < matches.count; i++)
            assert_float_equal(matches.items[i].delta_e.measured, plain[i], 1e-12);
        near_release(&matches);
    }
}

static void the_pairs_are_those_a_plain_scan_finds(void **state)
{
    static struct range_ink inks[INKS];
    struct near_matches matches;
    struct error error;
    size_t within = 0;

    (void)state;
    srand(3);
    scatter(inks, INKS, 0.1);
    for (size_t i = 0; i < INKS; i++)
        for (size_t j = i + 1; j < INKS; j++)
            within += colour_delta_e_2000(inks[i].lab, inks[j].lab) <= 4;
    assert_int_equal(near_pairs(inks, INKS, 4, &matches, &error), STATUS_OK);
    assert_true(within > 50);
    assert_int_equal(matches.count, within);
    for (size_t i = 0; i < matches.count; i++) {
        const struct near_match *match = &matches.items[i];

        assert_true(match->first < match->second);
        assert_float_equal(match->delta_e.measured,
                           colour_delta_e_2000(inks[match->first].lab, inks[match->second].lab),
                           1e-9);
        assert_true(i == 0 || matches.items[i - 1].delta_e.measured <= match->delta_e.measured);
    }
    near_release(&matches);
}

static void no_ink_one_ink_and_equal_inks_have_their_answers(void **state)
{
    struct range_ink inks[3] = {
        {.lab = {50, 10, 10}}, {.lab = {50, 10, 10}}, {.lab = {50, 10, 10}}};
    struct near_wish wish = {3, 5};
    struct near_matches matches;
    struct error error;

    (void)state;
    assert_int_equal(near_find(&inks[0], inks, 1, &wish, &matches, &error), STATUS_OK);
    assert_int_equal(matches.count, 0);
    near_release(&matches);
    assert_int_equal(near_pairs(inks, 0, 3, &matches, &error), STATUS_OK);
    assert_int_equal(matches.count, 0);
    near_release(&matches);
    assert_int_equal(near_pairs(inks, 3, 3, &matches, &error), STATUS_OK);
    assert_int_equal(matches.count, 3);
    assert_true(matches.items[2].delta_e.high == 0);
    near_release(&matches);
}

static void a_verdict_says_what_else_the_interval_allows(void **state)
{
    struct interval sure = {2, 1.5, 2.5}, open = {2, 0.4, 3.4}, same = {0.3, 0, 0.9};
    char words[NEAR_PERHAPS_SIZE];

    (void)state;
    assert_int_equal(near_likeness(1.0, 3), LIKENESS_SAME);
    assert_int_equal(near_likeness(3.0, 3), LIKENESS_CLOSE);
    assert_int_equal(near_likeness(3.1, 3), LIKENESS_APART);
    assert_int_equal(near_likeness(0.8, 0.5), LIKENESS_APART);
    near_perhaps(&sure, 3, words);
    assert_string_equal(words, "");
    near_perhaps(&open, 3, words);
    assert_string_equal(words, "same;apart");
    near_perhaps(&same, 0.5, words);
    assert_string_equal(words, "apart");
}

/* Both colours are measured with errors drawn from the covariance stated; how often the interval
 * holds the true difference, over colours all round and true differences from 0 to 12. */
static void the_interval_holds_the_true_difference_as_often_as_it_says(void **state)
{
    static const double sizes[] = {0, 0.3, 1, 2, 4, 12};
    const double variances[3] = {0.25, 0.5, 0.6};
    double held_of_all = 0;

    (void)state;
    srand(4);
    for (size_t s = 0; s < sizeof sizes / sizeof *sizes; s++) {
        int held = 0, runs = 3000;

        for (int i = 0; i < runs; i++) {
            double covariance[9] = {variances[0], 0, 0, 0, variances[1], 0, 0, 0, variances[2]};
            struct lab a = {uniform(20, 90), uniform(-40, 40), uniform(-40, 40)}, b = a, seen = a;
            struct lab way = {a.L + normal(), a.a + normal(), a.b + normal()};
            double step = sizes[s] / colour_delta_e_2000(a, way);
            struct interval interval;
            double truth;

            b = (struct lab){a.L + step * (way.L - a.L), a.a + step * (way.a - a.a),
                             a.b + step * (way.b - a.b)};
            truth = colour_delta_e_2000(a, b);
            seen = (struct lab){b.L + sqrt(variances[0]) * normal(),
                                b.a + sqrt(variances[1]) * normal(),
                                b.b + sqrt(variances[2]) * normal()};
            interval = interval_of_difference(a, seen, covariance);
            held += truth >= interval.low - 1e-9 && truth <= interval.high;
        }
        printf("  true difference %4.1f: held %.1f %%\n", sizes[s], 100.0 * held / runs);
        assert_true(held >= 0.93 * runs);
        held_of_all += (double)held / runs / (sizeof sizes / sizeof *sizes);
    }
    assert_true(held_of_all < 0.99);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_floor_is_never_above_delta_e_2000),
        cmocka_unit_test(the_nearest_are_those_a_plain_scan_finds),
        cmocka_unit_test(the_pairs_are_those_a_plain_scan_finds),
        cmocka_unit_test(no_ink_one_ink_and_equal_inks_have_their_answers),
        cmocka_unit_test(a_verdict_says_what_else_the_interval_allows),
        cmocka_unit_test(the_interval_holds_the_true_difference_as_often_as_it_says),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
