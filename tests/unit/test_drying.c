#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "accuracy/analysis_rates.h"
#include "analysis/drying.h"
#include "analysis/settled.h"
#include "analysis/steady.h"

#include <math.h>
#include <string.h>

enum { RUNS = 500, MINUTE = 60, DAY = 86400, INKED = 1777800000 };

static void check_near(double value, double wanted, double tolerance)
{
    if (!(fabs(value - wanted) <= tolerance))
        fail_msg("wanted %.9g within %.3g, got %.9g", wanted, tolerance, value);
}

/* A reading `age_s` after inking; own error 0.2 per axis. */
static struct observation reading(struct lab lab, int64_t age_s, int photo)
{
    struct observation observation = {.lab = lab,
                                      .photo = photo,
                                      .swatch = 1,
                                      .taken_known = true,
                                      .inked_known = true,
                                      .inked_s = INKED,
                                      .taken_s = INKED + age_s};

    for (int i = 0; i < 3; i++)
        observation.covariance_own[4 * i] = 0.04;
    return observation;
}

static struct lab drying_lab(double minutes, double tau)
{
    double left = exp(-minutes / tau);

    return (struct lab){50 - 5 * left, 30 + 4 * left, 10 + 2 * left};
}

/* --- fits ----------------------------------------------------------------------------------- */

static void a_clean_curve_gives_its_figures_back(void **state)
{
    const double minutes[] = {2, 8, 15, 30, 60, 120};
    struct observation readings[6];
    struct drying drying;
    struct error error;

    (void)state;
    for (int i = 0; i < 6; i++)
        readings[i] = reading(drying_lab(minutes[i], 20), (int64_t)(MINUTE * minutes[i]), i + 1);
    assert_int_equal(drying_fit(readings, 6, NULL, &drying, &error), STATUS_OK);
    assert_int_equal(drying.state, DRYING_SETTLED);
    check_near(drying.tau_s.value, 20 * MINUTE, 20);
    check_near(drying.dry.L, 50, 0.02);
    check_near(drying.wet.L, 45, 0.05);
    check_near(drying.moved.value, colour_delta_e_2000(drying_lab(0, 20), drying_lab(1e6, 20)),
               0.05);
    check_near(drying.settled_s.value, 20 * MINUTE * log(drying.moved.value / drying.noise), 60);
    assert_true(drying.tau_s.low < 20 * MINUTE && drying.tau_s.high > 20 * MINUTE);
}

static void a_swatch_still_drying_says_when_it_will_be_dry(void **state)
{
    const double minutes[] = {2, 5, 10, 15, 20};
    struct observation readings[5];
    struct drying drying;
    struct error error;

    (void)state;
    for (int i = 0; i < 5; i++)
        readings[i] = reading(drying_lab(minutes[i], 15), (int64_t)(MINUTE * minutes[i]), i + 1);
    assert_int_equal(drying_fit(readings, 5, NULL, &drying, &error), STATUS_OK);
    assert_int_equal(drying.state, DRYING_WET);
    assert_true(drying.settled_s.value > drying.last_s);
}

/* The last reading is later than the likely time, but not than the latest one. */
static void a_swatch_that_may_have_settled_is_not_said_to_have(void **state)
{
    const double minutes[] = {0, 30, 90, 150};
    const double L[] = {44, 45, 47, 47.1};
    struct observation readings[4];
    struct drying drying;
    struct error error;

    (void)state;
    for (int i = 0; i < 4; i++)
        readings[i] = reading((struct lab){L[i], 20, 10}, (int64_t)(MINUTE * minutes[i]), i + 1);
    assert_int_equal(drying_fit(readings, 4, NULL, &drying, &error), STATUS_OK);
    assert_int_equal(drying.state, DRYING_UNSURE);
    assert_true(drying.settled_s.value <= drying.last_s && drying.last_s < drying.settled_s.high);
}

static void too_few_readings_are_told(void **state)
{
    struct observation readings[3] = {reading((struct lab){50, 0, 0}, 60, 1),
                                      reading((struct lab){52, 0, 0}, 600, 2),
                                      reading((struct lab){52, 0, 0}, 600, 3)};
    struct drying drying;
    struct error error;

    (void)state;
    for (size_t count = 0; count <= 3; count++) { /* the third is of the same time */
        assert_int_equal(drying_fit(readings, count, NULL, &drying, &error), STATUS_OK);
        assert_int_equal(drying.state, DRYING_TOO_FEW);
        assert_false(drying.fitted);
    }
}

static void a_slow_drift_over_weeks_is_fading(void **state)
{
    const int days[] = {1, 7, 14, 28, 56};
    struct observation readings[5];
    struct drying drying;
    struct error error;

    (void)state;
    for (int i = 0; i < 5; i++)
        readings[i] = reading((struct lab){50 + 0.05 * days[i], 30 - 0.1 * days[i], 10},
                              days[i] * DAY, i + 1);
    assert_int_equal(drying_fit(readings, 5, NULL, &drying, &error), STATUS_OK);
    assert_int_equal(drying.state, DRYING_FADING);
    assert_true(drying.fading.low > 0.5 && drying.fading.high < 6);
}

static void fits_hold_at_their_stated_rate(void **state)
{
    static const double minutes[] = {2, 5, 10, 15, 20, 30, 45, 60, 90, 120};
    const struct drying_case dries = {minutes, 10, 15, 6, 0.3, 0};
    const struct drying_case unmoved = {minutes, 10, 15, 0, 0.3, 0};
    const double play = 3 * sqrt(0.95 * 0.05 / RUNS);
    struct drying_rates rates = rates_of_drying(&dries, RUNS);

    (void)state;
    check_near(rates.tau, 0.95, 0.02 + play);
    check_near(rates.dry, 0.95, 0.02 + play);
    check_near(rates.moved, 0.95, 0.02 + play);
    check_near(rates.settled, 0.95, 0.02 + play);
    rates = rates_of_drying(&unmoved, RUNS);
    assert_true(rates.unmoved > 0.93 - play);
}

/* A move as small as the noise is often not seen; what the swatch dries to holds all the same. */
static void what_moves_too_little_to_be_seen_still_tells_what_it_dries_to(void **state)
{
    static const double minutes[] = {2, 10, 20, 40, 80, 160};
    const struct drying_case little = {minutes, 6, 20, 1, 0.3, 0};
    struct drying_rates rates = rates_of_drying(&little, RUNS);

    (void)state;
    assert_true(rates.unmoved > 0.3 && rates.unmoved < 0.7);
    check_near(rates.dry, 0.95, 0.02 + 3 * sqrt(0.95 * 0.05 / RUNS));
}

static void few_swatches_that_keep_still_are_said_to_fade(void **state)
{
    static const double minutes[] = {1440, 2880, 5760, 10080, 20160, 40320};
    const struct drying_case still = {minutes, 6, 15, 0, 0.3, 0};
    const struct drying_case fades = {minutes, 6, 15, 0, 0.3, 3};

    (void)state;
    assert_true(rates_of_drying(&still, RUNS).fading < 0.01 + 3 * sqrt(0.01 / RUNS));
    check_near(rates_of_drying(&fades, RUNS).drift, 0.95, 0.02 + 3 * sqrt(0.95 * 0.05 / RUNS));
}

static void of_swatches_that_do_not_change_one_in_twenty_seems_to(void **state)
{
    static const double minutes[] = {2, 8, 15, 30, 60, 120};
    const struct drying_case still = {minutes, 6, 15, 0, 0.3, 0};
    const int runs = 8 * RUNS;
    struct drying_rates rates = rates_of_drying(&still, runs);

    (void)state;
    check_near(rates.unmoved, 0.95, 0.01 + 2 * sqrt(0.95 * 0.05 / runs));
}

/* --- what did not move ---------------------------------------------------------------------- */

static void unmoved_cells_take_the_photos_error_off(void **state)
{
    const double shift[3] = {0, 1.5, -0.8};
    struct observation readings[3], controls[6];
    struct steady steady;

    (void)state;
    for (int i = 0; i < 3; i++) {
        readings[i] = reading((struct lab){50 + shift[i], 20, 10}, MINUTE * (i + 1), i + 1);
        for (int j = 0; j < 2; j++) {
            controls[2 * i + j] =
                reading((struct lab){60 + 20 * j + shift[i], 5, 5}, MINUTE * (i + 1), i + 1);
            controls[2 * i + j].swatch = 10 + j;
            for (int k = 0; k < 3; k++)
                controls[2 * i + j].covariance_shared[4 * k] = 1;
        }
        for (int k = 0; k < 3; k++)
            readings[i].covariance_shared[4 * k] = 1;
    }
    observation_sort(controls, 6);
    steady = steady_take_off(readings, 3, controls, 6);
    assert_int_equal(steady.controls, 2);
    assert_true(steady.remaining < 0.1);
    check_near(readings[1].lab.L, readings[0].lab.L, 1e-9);
    check_near(readings[2].lab.L, readings[0].lab.L, 1e-9);
    assert_true(readings[0].covariance_shared[0] < 0.1);
}

static void without_controls_nothing_is_taken_off(void **state)
{
    struct observation readings[2] = {reading((struct lab){50, 0, 0}, 60, 1),
                                      reading((struct lab){51, 0, 0}, 600, 2)};
    struct steady steady = steady_take_off(readings, 2, NULL, 0);

    (void)state;
    assert_int_equal(steady.controls, 0);
    check_near(steady.remaining, 1, 0);
    check_near(readings[1].lab.L, 51, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_clean_curve_gives_its_figures_back),
        cmocka_unit_test(a_swatch_still_drying_says_when_it_will_be_dry),
        cmocka_unit_test(a_swatch_that_may_have_settled_is_not_said_to_have),
        cmocka_unit_test(too_few_readings_are_told),
        cmocka_unit_test(a_slow_drift_over_weeks_is_fading),
        cmocka_unit_test(fits_hold_at_their_stated_rate),
        cmocka_unit_test(what_moves_too_little_to_be_seen_still_tells_what_it_dries_to),
        cmocka_unit_test(of_swatches_that_do_not_change_one_in_twenty_seems_to),
        cmocka_unit_test(few_swatches_that_keep_still_are_said_to_fade),
        cmocka_unit_test(unmoved_cells_take_the_photos_error_off),
        cmocka_unit_test(without_controls_nothing_is_taken_off),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
