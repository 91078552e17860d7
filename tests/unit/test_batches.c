#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "accuracy/analysis_rates.h"
#include "analysis/alarms.h"
#include "analysis/batches.h"
#include "analysis/magnitude.h"
#include "analysis/perceptual.h"
#include "values/linear.h"
#include "values/statistics.h"

#include <math.h>
#include <string.h>

enum { RUNS = 1200 };

static void check_near(double value, double wanted, double tolerance)
{
    if (!(fabs(value - wanted) <= tolerance))
        fail_msg("wanted %.9g within %.3g, got %.9g", wanted, tolerance, value);
}

/* --- against published figures -------------------------------------------------------------- */

/* The chi distribution with 3 degrees of freedom (Maxwell's), from memory: mean 1.59577,
 * 95 % 2.79548, 99 % 3.36821. */
static void chi_with_three_degrees_of_freedom_is_as_tabulated(void **state)
{
    (void)state;
    check_near(sqrt(statistics_chi_square_limit(0.95, 3)), 2.79548, 5e-6);
    check_near(sqrt(statistics_chi_square_limit(0.99, 3)), 3.36821, 5e-6);
    check_near(statistics_chi_square_beyond(7.8147, 3, 0), 0.05, 1e-5);
}

/* Non-centrality 10.90 gives 80 % power at the 5 % level with 3 degrees of freedom; own
 * calculation, as tables of the non-central chi-square have it. */
static void the_non_central_chi_square_has_its_power(void **state)
{
    double limit = statistics_chi_square_limit(0.95, 3);

    (void)state;
    check_near(statistics_chi_square_beyond(limit, 3, 10.903), 0.80, 5e-4);
    check_near(statistics_chi_square_beyond(limit, 3, 0), 0.05, 1e-9);
    check_near(statistics_hotelling_beyond(limit, 3, 1e5, 10.903), 0.80, 2e-3);
}

static void the_plan_asks_for_the_swatches_a_difference_needs(void **state)
{
    struct batches_plan plan;

    (void)state;
    assert_true(batches_plan(1.0, 0.5, &plan));
    assert_int_equal(plan.swatches, 6);
    assert_true(plan.swatches_estimated > plan.swatches);
    assert_true(batches_plan(1.0, 1.0, &plan));
    assert_int_equal(plan.swatches, 22);
    assert_false(batches_plan(0.001, 5.0, &plan));
}

/* Johnson and Wichern, Applied Multivariate Statistical Analysis, example of 50 + 50 bars of soap
 * (from memory): means (8.3, 4.1) and (10.2, 3.9), pooled covariance ((2, 1), (1, 5)); the 95 %
 * region is where T squared over (1/50 + 1/50) is at most 0.25, and here T squared is 52.47. A
 * third axis without difference makes the two into three. */
static void hotellings_worked_example_comes_out(void **state)
{
    const double difference[3] = {1.9, -0.2, 0};
    const double pooled[9] = {2, 1, 0, 1, 5, 0, 0, 0, 1};
    struct magnitude magnitude = {.freedom = 98};
    double inverse[9], turned[3], square = 0;

    (void)state;
    for (int i = 0; i < 9; i++)
        magnitude.covariance[i] = pooled[i] * (1 / 50.0 + 1 / 50.0);
    linear_invert_3x3(magnitude.covariance, inverse);
    linear_apply_3x3(inverse, difference, turned);
    for (int i = 0; i < 3; i++)
        square += difference[i] * turned[i];
    check_near(square, 52.47, 0.005);
    check_near(statistics_hotelling_limit(0.95, 2, 98) * (1 / 50.0 + 1 / 50.0), 0.25, 0.002);
    memcpy(magnitude.difference, difference, sizeof difference);
    check_near(magnitude_chance(&magnitude), statistics_hotelling_beyond(square, 3, 98, 0), 1e-12);
}

/* ASTM E2214 (from memory): for two sets of n1 and n2 colour measurements T squared is n1 n2 /
 * (n1 + n2) d' S^-1 d, and T squared (n1 + n2 - p - 1) / ((n1 + n2 - 2) p) is an F of p and
 * n1 + n2 - p - 1 degrees of freedom. 95 % of F(3, 16) is 3.239 in every table. */
static void the_limit_for_two_sets_of_ten_is_as_the_standard_has_it(void **state)
{
    (void)state;
    check_near(statistics_hotelling_limit(0.95, 3, 18) * 16 / (18 * 3.0), 3.239, 5e-4);
    assert_true(isinf(statistics_hotelling_limit(0.95, 3, 2)));
}

/* Source: Holm 1979; the four chances are adjusted by hand. */
static void holm_raises_the_chances_in_their_order(void **state)
{
    const double chances[] = {0.01, 0.04, 0.03, 0.005}, wanted[] = {0.03, 0.06, 0.06, 0.02};
    double adjusted[4];
    struct error error;

    (void)state;
    assert_int_equal(alarms_holm(chances, 4, adjusted, &error), STATUS_OK);
    for (int i = 0; i < 4; i++)
        check_near(adjusted[i], wanted[i], 1e-12);
}

/* --- frames --------------------------------------------------------------------------------- */

static void small_steps_have_the_length_of_their_delta_e(void **state)
{
    const struct lab colours[] = {{50, 30, 20}, {70, -40, 5}, {35, 8, -50}, {60, 0, 0}};
    const double steps[][3] = {{0.1, 0, 0}, {0, 0.1, 0}, {0, 0, 0.1}, {0.07, -0.06, 0.05}};

    (void)state;
    for (size_t i = 0; i < 4; i++)
        for (size_t j = 0; j < 4; j++) {
            struct lab at = colours[i];
            struct lab half = {at.L + steps[j][0] / 2, at.a + steps[j][1] / 2,
                               at.b + steps[j][2] / 2};
            struct lab less = {at.L - steps[j][0] / 2, at.a - steps[j][1] / 2,
                               at.b - steps[j][2] / 2};
            double frame[9], seen[3];

            perceptual_frame(at, frame);
            linear_apply_3x3(frame, steps[j], seen);
            check_near(sqrt(seen[0] * seen[0] + seen[1] * seen[1] + seen[2] * seen[2]),
                       colour_delta_e_2000(half, less), 2e-3);
        }
}

/* --- by simulation -------------------------------------------------------------------------- */

/* Three standard errors of a rate near `rate`. */
static double play(double rate)
{
    return 3 * sqrt(rate * (1 - rate) / RUNS);
}

/* Single swatches of one ink, 0.5 apart per axis, differ by 1.13 on average: chi's mean times
 * 0.5 times the root of 2. */
static void equal_batches_never_measure_zero_yet_raise_few_alarms(void **state)
{
    const struct batch_case single = {1, 0.5, 0, SPREAD_TOLD, 1};
    const struct batch_case six = {6, 0.5, 0, SPREAD_ESTIMATED, 1};
    struct batch_rates rates = rates_of_batches(&single, RUNS);

    (void)state;
    check_near(rates.delta_e_mean, 1.59577 * 0.5 * sqrt(2), 0.04);
    check_near(rates.seen, 0.05, 0.01 + play(0.05));
    assert_true(rates.wrong == 0);
    rates = rates_of_batches(&six, RUNS);
    check_near(rates.seen, 0.05, 0.01 + play(0.05));
    assert_true(rates.wrong == 0);
}

static void the_planned_swatches_have_the_planned_power(void **state)
{
    const struct batch_case told = {6, 0.5, 1.0, SPREAD_TOLD, 1};
    const struct batch_case estimated = {8, 0.5, 1.0, SPREAD_ESTIMATED, 1};
    struct batches_plan plan;

    (void)state;
    assert_true(batches_plan(1.0, 0.5, &plan));
    assert_int_equal(plan.swatches_estimated, 8);
    check_near(rates_of_batches(&told, RUNS).seen, plan.power, 0.03 + play(0.8));
    check_near(rates_of_batches(&estimated, RUNS).seen, plan.power_estimated, 0.03 + play(0.8));
}

static void intervals_of_a_difference_hold_it(void **state)
{
    const struct batch_case cases[] = {{6, 0.5, 1.0, SPREAD_TOLD, 1},
                                       {6, 0.5, 3.0, SPREAD_ESTIMATED, 1},
                                       {1, 0.5, 3.0, SPREAD_TOLD, 1}};

    (void)state;
    for (size_t i = 0; i < 3; i++)
        check_near(rates_of_batches(&cases[i], RUNS).covered, 0.95, 0.02 + play(0.95));
}

static void the_shift_of_a_photo_is_not_laid_to_the_inks(void **state)
{
    const struct chart_case unchanged = {40, 0, 0, 2.0, 0.3};
    const struct chart_case some_changed = {40, 4, 4.0, 2.0, 0.3};
    struct chart_rates rates = rates_of_charts(&unchanged, RUNS / 6);

    (void)state;
    assert_true(rates.any_false < 0.05 + 2 * play(0.05));
    assert_true(rates.covered > 0.93);
    rates = rates_of_charts(&some_changed, RUNS / 6);
    assert_true(rates.any_false < 0.05 + 2 * play(0.05));
    assert_true(rates.seen > 0.6);
}

/* --- verdicts ------------------------------------------------------------------------------- */

static struct observation swatch(double L, int photo)
{
    struct observation observation = {.lab = {L, 20, 10}, .photo = photo};

    for (int i = 0; i < 3; i++)
        observation.covariance_shared[4 * i] = 1.0;
    return observation;
}

static struct batch_verdict compare_pair(const struct observation *before,
                                         const struct observation *after, size_t count,
                                         double spread)
{
    const struct batch_pair pair = {before, after, count, count, true};
    const struct batches_question question = {BATCHES_TOLERANCE, spread};
    struct batches batches;
    struct batch_verdict verdict;
    struct error error;

    assert_int_equal(batches_compare(&pair, 1, &question, &batches, &error), STATUS_OK);
    verdict = batches.verdicts[0];
    batches_release(&batches);
    return verdict;
}

static void batches_in_one_photo_do_without_its_error(void **state)
{
    const struct observation before[] = {swatch(50, 1)}, after[] = {swatch(50.3, 1)};
    const struct observation elsewhere[] = {swatch(50.3, 2)};
    struct batch_verdict together = compare_pair(before, after, 1, 0.2);
    struct batch_verdict apart = compare_pair(before, elsewhere, 1, 0.2);

    (void)state;
    assert_true(together.same_photo);
    assert_int_equal(together.verdict, VERDICT_SAME);
    assert_false(apart.same_photo);
    assert_int_equal(apart.verdict, VERDICT_CANNOT_TELL);
    assert_true(apart.high > together.high);
}

/* Imported readings state no shared error; that does not put them in one photo. */
static void readings_without_shared_error_are_still_of_two_photos(void **state)
{
    struct observation before = swatch(50, 1), after = swatch(50.3, 2);

    (void)state;
    memset(before.covariance_shared, 0, sizeof before.covariance_shared);
    memset(after.covariance_shared, 0, sizeof after.covariance_shared);
    assert_false(compare_pair(&before, &after, 1, 0.2).same_photo);
}

/* Two batches of an ink in one photo, 6 apart, stand on the old side: their distance is no spread.
 */
static void the_spread_is_that_within_a_batch(void **state)
{
    struct observation before[6], after[2] = {swatch(50, 2), swatch(50.4, 2)};
    const struct batch_pair pair = {before, after, 6, 2, true};
    const struct batches_question question = {BATCHES_TOLERANCE, 0};
    struct batches batches;
    struct error error;

    (void)state;
    for (int i = 0; i < 6; i++) {
        before[i] = swatch(50 + 6 * (i / 3) + 0.4 * (i % 3), 1);
        before[i].batch = 1 + i / 3;
    }
    assert_int_equal(batches_compare(&pair, 1, &question, &batches, &error), STATUS_OK);
    assert_false(batches.spread_assumed);
    assert_true(batches.spread_freedom == 5);
    assert_true(batches.spread < 0.4);
    batches_release(&batches);
}

static void a_plain_difference_is_told_and_a_doubtful_one_says_what_would_settle_it(void **state)
{
    const struct observation before[] = {swatch(50, 1)}, far[] = {swatch(56, 1)};
    const struct observation doubtful[] = {swatch(53.2, 1)};
    struct batch_verdict verdict = compare_pair(before, far, 1, 0.5);

    (void)state;
    assert_int_equal(verdict.verdict, VERDICT_DIFFERENT);
    assert_true(verdict.difference.dL > 0);
    verdict = compare_pair(before, doubtful, 1, 0.5);
    assert_int_equal(verdict.verdict, VERDICT_CANNOT_TELL);
    assert_in_range(verdict.swatches_wanted, 2, 12);
}

static void an_ink_of_one_batch_only_is_missing(void **state)
{
    const struct observation before[] = {swatch(50, 1)};

    (void)state;
    assert_int_equal(compare_pair(before, before, 0, 0.5).verdict, VERDICT_MISSING);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(chi_with_three_degrees_of_freedom_is_as_tabulated),
        cmocka_unit_test(the_non_central_chi_square_has_its_power),
        cmocka_unit_test(the_plan_asks_for_the_swatches_a_difference_needs),
        cmocka_unit_test(hotellings_worked_example_comes_out),
        cmocka_unit_test(the_limit_for_two_sets_of_ten_is_as_the_standard_has_it),
        cmocka_unit_test(holm_raises_the_chances_in_their_order),
        cmocka_unit_test(small_steps_have_the_length_of_their_delta_e),
        cmocka_unit_test(equal_batches_never_measure_zero_yet_raise_few_alarms),
        cmocka_unit_test(the_planned_swatches_have_the_planned_power),
        cmocka_unit_test(intervals_of_a_difference_hold_it),
        cmocka_unit_test(the_shift_of_a_photo_is_not_laid_to_the_inks),
        cmocka_unit_test(batches_in_one_photo_do_without_its_error),
        cmocka_unit_test(readings_without_shared_error_are_still_of_two_photos),
        cmocka_unit_test(the_spread_is_that_within_a_batch),
        cmocka_unit_test(a_plain_difference_is_told_and_a_doubtful_one_says_what_would_settle_it),
        cmocka_unit_test(an_ink_of_one_batch_only_is_missing),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
