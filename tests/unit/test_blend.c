#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "accuracy/blend_pairs.h"
#include "values/statistics.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define PAIRS 400

static int load_pairs(void **state)
{
    struct blend_pairs *pairs = malloc(sizeof *pairs);
    struct error error;

    *state = pairs;
    return pairs ? (int)blend_pairs_create(pairs, &error) : -1;
}

static int drop_pairs(void **state)
{
    free(*state);
    return 0;
}

static enum status learn(const struct blend_pairs *pairs, const struct blend_pair *pair,
                         const struct blend_sample *half, struct blend_habit *habit,
                         struct error *error)
{
    const struct blend_strip strip = {pair->first, pair->second, half, 1};

    return blend_learn(&pairs->observer, &strip, habit, error);
}

/* Source: own calculation by hand. K/S of 0.5 is 0.25, of 0.1 it is 4.05, half and half 2.15. */
static void the_two_laws_give_what_a_calculation_by_hand_gives(void **state)
{
    (void)state;
    assert_true(fabs(blend_kubelka_munk(0.5, 0.1, 0.5) - 0.162945) < 1e-6);
    assert_true(fabs(blend_geometric(0.5, 0.1, 0.5) - 0.223607) < 1e-6);
    assert_true(fabs(blend_kubelka_munk(0.5, 0.1, 0) - 0.5) < 1e-12);
    assert_true(fabs(blend_geometric(0.5, 0.1, 1) - 0.1) < 1e-12);
}

static void a_blend_begins_and_ends_with_its_inks(void **state)
{
    const struct blend_pairs *pairs = *state;
    struct random random = {.state = 1};
    struct blend_habit habit = blend_habit_unknown();

    for (int i = 0; i < 50; i++) {
        struct blend_pair pair = blend_pair_draw(pairs, &random);

        habit.lean = i / 49.0;
        for (int end = 0; end < 2; end++) {
            struct blend_forecast forecast =
                blend_forecast_at(&pairs->observer, pair.first, pair.second, end, &habit);
            struct lab ink = end ? pair.second->lab : pair.first->lab;

            assert_true(colour_delta_e_2000(forecast.lab, ink) < 1e-6);
        }
    }
}

static void a_blend_is_the_same_from_either_side(void **state)
{
    const struct blend_pairs *pairs = *state;
    struct random random = {.state = 2};
    struct blend_habit habit = blend_habit_unknown(), turned = habit;

    habit.strength = 1.7;
    turned.strength = 1 / 1.7;
    for (int i = 0; i < 50; i++) {
        struct blend_pair pair = blend_pair_draw(pairs, &random);
        struct blend_forecast one =
            blend_forecast_at(&pairs->observer, pair.first, pair.second, 0.3, &habit);
        struct blend_forecast other =
            blend_forecast_at(&pairs->observer, pair.second, pair.first, 0.7, &turned);

        assert_true(colour_delta_e_2000(one.lab, other.lab) < 1e-6);
        assert_true(fabs(one.u95 - other.u95) < 1e-6);
    }
}

/* Two colours alone, the law known: spectra of the invented inks blended band by band. */
static void
with_the_right_law_a_forecast_from_two_colours_is_off_by_two_at_most_on_average(void **state)
{
    const struct blend_pairs *pairs = *state;
    const struct blend_habit habit = blend_habit_unknown();

    for (int law = 0; law < BLEND_LAWS; law++) {
        struct random random = {.state = 3};
        double off[PAIRS];

        for (int i = 0; i < PAIRS; i++) {
            struct blend_pair pair = blend_pair_draw(pairs, &random);
            struct blend_forecast forecast =
                blend_forecast_at(&pairs->observer, pair.first, pair.second, 0.5, &habit);

            off[i] = colour_delta_e_2000(forecast.by_law[law],
                                         blend_pair_truth(pairs, &pair, (enum blend_law)law, 0.5));
        }
        print_message("%s: mean %.2f, 95 %% %.2f\n", blend_law_name((enum blend_law)law),
                      statistics_mean(off, PAIRS), statistics_quantile(off, PAIRS, 0.95));
        assert_true(statistics_mean(off, PAIRS) <= 2.0);
    }
}

static void the_radius_holds_the_truth_whichever_law_holds(void **state)
{
    const struct blend_pairs *pairs = *state;
    const struct blend_habit habit = blend_habit_unknown();

    for (int law = 0; law < BLEND_LAWS; law++)
        for (int step = 1; step < 4; step++) {
            struct random random = {.state = 4};
            int held = 0;

            for (int i = 0; i < PAIRS; i++) {
                struct blend_pair pair = blend_pair_draw(pairs, &random);
                struct blend_forecast forecast = blend_forecast_at(&pairs->observer, pair.first,
                                                                   pair.second, step / 4.0, &habit);
                struct lab truth = blend_pair_truth(pairs, &pair, (enum blend_law)law, step / 4.0);

                held += colour_delta_e_2000(forecast.lab, truth) <= forecast.u95;
            }
            assert_true(held >= 0.95 * PAIRS);
        }
}

static void one_test_blend_settles_the_law_and_the_rest_of_the_strip(void **state)
{
    const struct blend_pairs *pairs = *state;

    for (int law = 0; law < BLEND_LAWS; law++) {
        struct random random = {.state = 5};
        double off[PAIRS];
        int held = 0, settled = 0, telling = 0;

        for (int i = 0; i < PAIRS; i++) {
            struct blend_pair pair = blend_pair_draw(pairs, &random);
            struct blend_sample half = {0.5,
                                        blend_pair_truth(pairs, &pair, (enum blend_law)law, 0.5)};
            struct lab quarter = blend_pair_truth(pairs, &pair, (enum blend_law)law, 0.25);
            struct blend_forecast forecast;
            struct blend_habit habit = blend_habit_unknown();
            struct error error = {0};

            forecast = blend_forecast_at(&pairs->observer, pair.first, pair.second, 0.5, &habit);
            if (learn(pairs, &pair, &half, &habit, &error))
                fail_msg("%s", error.message);
            if (colour_delta_e_2000(forecast.by_law[0], forecast.by_law[1]) > 6) {
                telling++;
                settled += (habit.lean < 0.5 ? BLEND_KUBELKA_MUNK : BLEND_GEOMETRIC) ==
                           (enum blend_law)law;
            }
            forecast = blend_forecast_at(&pairs->observer, pair.first, pair.second, 0.25, &habit);
            off[i] = colour_delta_e_2000(forecast.lab, quarter);
            held += off[i] <= forecast.u95;
        }
        print_message("%s: a quarter is off by %.2f on average, 95 %% %.2f; law settled %d of %d\n",
                      blend_law_name((enum blend_law)law), statistics_mean(off, PAIRS),
                      statistics_quantile(off, PAIRS, 0.95), settled, telling);
        assert_true(statistics_mean(off, PAIRS) <= 1.5);
        assert_true(held >= 0.95 * PAIRS);
        assert_true(settled >= 0.9 * telling);
    }
}

static void inks_too_alike_teach_nothing_and_say_so(void **state)
{
    const struct blend_pairs *pairs = *state;
    struct blend_pair same = {&pairs->inks[0], &pairs->inks[0]};
    struct blend_sample half = {0.5, pairs->inks[0].lab};
    struct blend_habit habit;
    struct error error = {0};

    assert_int_equal(learn(pairs, &same, &half, &habit, &error), STATUS_QUALITY);
    assert_int_equal(habit.basis, BLEND_BY_LAWS);
}

static void what_is_no_blend_of_the_two_inks_is_refused(void **state)
{
    const struct blend_pairs *pairs = *state;
    struct blend_ink yellow, blue;
    struct blend_pair pair = {&yellow, &blue};
    struct blend_sample red = {0.5, {45, 60, 40}};
    struct blend_habit habit;
    struct error error = {0};

    assert_int_equal(
        blend_ink_prepare(&pairs->observer, (struct lab){85, -5, 70}, 0, &yellow, &error), 0);
    assert_int_equal(
        blend_ink_prepare(&pairs->observer, (struct lab){40, 0, -45}, 0, &blue, &error), 0);
    assert_int_equal(learn(pairs, &pair, &red, &habit, &error), STATUS_QUALITY);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_two_laws_give_what_a_calculation_by_hand_gives),
        cmocka_unit_test(a_blend_begins_and_ends_with_its_inks),
        cmocka_unit_test(a_blend_is_the_same_from_either_side),
        cmocka_unit_test(
            with_the_right_law_a_forecast_from_two_colours_is_off_by_two_at_most_on_average),
        cmocka_unit_test(the_radius_holds_the_truth_whichever_law_holds),
        cmocka_unit_test(one_test_blend_settles_the_law_and_the_rest_of_the_strip),
        cmocka_unit_test(inks_too_alike_teach_nothing_and_say_so),
        cmocka_unit_test(what_is_no_blend_of_the_two_inks_is_refused),
    };

    return cmocka_run_group_tests(tests, load_pairs, drop_pairs);
}
