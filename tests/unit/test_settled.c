#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "analysis/settled.h"

#include <math.h>
#include <string.h>

enum { DAY = 86400, INKED = 1777800000, RUNS = 2000 };

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

/* The same with an error of the whole photo, of a variance per axis. */
static struct observation shared(struct lab lab, int64_t age_s, int photo, double variance)
{
    struct observation observation = reading(lab, age_s, photo);

    for (int i = 0; i < 3; i++)
        observation.covariance_shared[4 * i] = variance;
    return observation;
}

/* --- which readings count ------------------------------------------------------------------- */

static void a_wet_reading_never_stands_for_the_ink(void **state)
{
    struct observation readings[2] = {reading((struct lab){40, 0, 0}, 120, 1),
                                      reading((struct lab){41, 0, 0}, 600, 2)};
    struct range_ink ink = {.name = "Juniper 1"};

    (void)state;
    settled_colour(readings, 2, &ink);
    assert_int_equal(ink.basis, COLOUR_WET_ONLY);
    settled_colour(readings, 0, &ink);
    assert_int_equal(ink.basis, COLOUR_NONE);
}

static void a_dry_reading_comes_before_a_later_one_of_unknown_age(void **state)
{
    struct observation readings[3] = {reading((struct lab){45, 0, 0}, 2 * DAY, 1),
                                      reading((struct lab){50, 0, 0}, 9 * DAY, 2),
                                      reading((struct lab){40, 0, 0}, 120, 3)};
    struct range_ink ink = {.name = "Juniper 1"};

    (void)state;
    readings[1].inked_known = false;
    settled_colour(readings, 3, &ink);
    assert_int_equal(ink.basis, COLOUR_SETTLED);
    check_near(ink.lab.L, 45, 1e-12);
    assert_int_equal(ink.photo_count, 1);
    assert_int_equal(ink.photos[0].photo, 1);
}

static void a_fit_tells_dry_from_wet_before_the_day_is_over(void **state)
{
    struct observation readings[3] = {reading((struct lab){45, 0, 0}, 600, 1),
                                      reading((struct lab){50, 0, 0}, 7200, 2),
                                      reading((struct lab){50.2, 0, 0}, 7200, 3)};
    struct range_ink ink = {.name = "Juniper 1"};

    (void)state;
    for (int i = 0; i < 3; i++) {
        readings[i].settled_known = true;
        readings[i].settled_s = INKED + 3600;
    }
    readings[2].dry_end = true;
    settled_colour(readings, 3, &ink);
    assert_int_equal(ink.basis, COLOUR_SETTLED);
    check_near(ink.lab.L, 50, 1e-12);
    for (int i = 0; i < 3; i++)
        readings[i].settled_s = INKED + 9000; /* now none is dry: the dry end stands in */
    settled_colour(readings, 3, &ink);
    assert_int_equal(ink.basis, COLOUR_DRY_END);
    check_near(ink.lab.L, 50.2, 1e-12);
    assert_int_equal(ink.photo_count, 0);
}

static void swatches_of_one_photo_are_averaged(void **state)
{
    struct observation readings[2] = {reading((struct lab){50, 2, 0}, 2 * DAY, 1),
                                      reading((struct lab){52, 0, 0}, 2 * DAY, 1)};
    struct range_ink ink = {.name = "Juniper 1"};

    (void)state;
    readings[1].swatch = 2;
    settled_colour(readings, 2, &ink);
    check_near(ink.lab.L, 51, 1e-12);
    check_near(ink.lab.a, 1, 1e-12);
    check_near(ink.covariance_own[0], 0.02, 1e-12);
}

static void readings_on_another_paper_or_of_another_batch_do_not_count(void **state)
{
    struct observation readings[4] = {
        reading((struct lab){50, 0, 0}, 2 * DAY, 1), reading((struct lab){50, 0, 0}, 3 * DAY, 2),
        reading((struct lab){60, 0, 0}, 4 * DAY, 3), reading((struct lab){40, 0, 0}, 1 * DAY, 4)};
    struct range_ink ink = {.name = "Juniper 1"};

    (void)state;
    readings[2].paper = 1;
    readings[3].batch = 7;
    settled_colour(readings, 4, &ink);
    assert_int_equal(ink.counted, 2);
    check_near(ink.lab.L, 50, 1e-12);
    for (int i = 0; i < 4; i++)
        assert_int_equal(readings[i].counted, readings[i].lab.L > 49 && readings[i].lab.L < 51);
}

static void of_unknown_age_only_what_agrees_with_the_latest_counts(void **state)
{
    struct observation readings[3] = {reading((struct lab){45, 0, 0}, 600, 1),
                                      reading((struct lab){50, 0, 0}, 7200, 2),
                                      reading((struct lab){50.2, 0, 0}, 9000, 3)};
    struct range_ink ink = {.name = "Juniper 1"};

    (void)state;
    for (int i = 0; i < 3; i++)
        readings[i].inked_known = false;
    settled_colour(readings, 3, &ink);
    assert_int_equal(ink.basis, COLOUR_AGE_UNKNOWN);
    assert_int_equal(ink.counted, 2);
    check_near(ink.lab.L, 50.1, 1e-3);
}

/* --- how they are combined ------------------------------------------------------------------ */

static void what_photos_share_does_not_average_out(void **state)
{
    struct observation readings[4];
    struct range_ink ink = {.name = "Juniper 1"};

    (void)state;
    for (int i = 0; i < 4; i++)
        readings[i] = shared((struct lab){50, 0, 0}, 2 * DAY + i, i + 1, 0.5);
    settled_colour(readings, 4, &ink);
    check_near(ink.covariance_own[0], 0.01, 1e-12);
    check_near(ink.covariance_shared[0], 0.5, 1e-12);
    for (int i = 0; i < 4; i++)
        readings[i].photo = 1; /* four swatches of one photo are no better */
    settled_colour(readings, 4, &ink);
    check_near(ink.covariance_own[0], 0.01, 1e-12);
    check_near(ink.covariance_shared[0], 0.5, 1e-12);
}

static void a_photo_counts_by_what_it_is_worth_and_the_worst_not_at_all(void **state)
{
    struct observation readings[3] = {shared((struct lab){50, 0, 0}, 2 * DAY, 1, 0.26),
                                      shared((struct lab){51, 0, 0}, 3 * DAY, 2, 0.86),
                                      shared((struct lab){56, 0, 0}, 4 * DAY, 3, 9)};
    struct range_ink ink = {.name = "Juniper 1"};

    (void)state;
    settled_colour(readings, 3, &ink);
    assert_int_equal(ink.counted, 2);
    check_near(ink.lab.L, 50.25, 0.001); /* variances 0.3 and 0.9: three parts to one */
}

static void photos_that_differ_by_more_than_they_state_raise_the_doubt(void **state)
{
    struct observation readings[2] = {reading((struct lab){48, 0, 0}, 2 * DAY, 1),
                                      reading((struct lab){52, 0, 0}, 3 * DAY, 2)};
    struct range_ink ink = {.name = "Juniper 1"};

    (void)state;
    settled_colour(readings, 2, &ink);
    check_near(ink.lab.L, 50, 1e-9);
    assert_true(ink.covariance_own[0] > 1);
    assert_true(ink.u95 > 2);
}

static void two_inks_of_the_same_photos_share_their_error(void **state)
{
    struct observation one[2] = {shared((struct lab){50, 0, 0}, 2 * DAY, 1, 0.5),
                                 shared((struct lab){50, 0, 0}, 3 * DAY, 2, 0.5)};
    struct observation other[2] = {shared((struct lab){52, 0, 0}, 2 * DAY, 1, 0.5),
                                   shared((struct lab){52, 0, 0}, 3 * DAY, 2, 0.5)};
    struct range_ink a = {.name = "Juniper 1"}, b = {.name = "Teasel 88"};
    double covariance[9];

    (void)state;
    settled_colour(one, 2, &a);
    settled_colour(other, 2, &b);
    range_difference_covariance(&a, &b, covariance);
    check_near(covariance[0], 0.04, 1e-12); /* the own parts of two means of two */
    settled_colour(other, 1, &b);           /* half of what the first is from */
    range_difference_covariance(&a, &b, covariance);
    check_near(covariance[0], 0.02 + 0.04 + 0.25, 1e-12);
    other[0].photo = 3; /* none of it: a mean of two photos against a third */
    settled_colour(other, 1, &b);
    range_difference_covariance(&a, &b, covariance);
    check_near(covariance[0], 0.02 + 0.04 + 0.25 + 0.5, 1e-12);
}

static double normal(uint64_t *seed)
{
    double sum = 0;

    for (int i = 0; i < 12; i++) {
        *seed = *seed * 6364136223846793005u + 1442695040888963407u;
        sum += (double)(*seed >> 11) / 9007199254740992.0;
    }
    return sum - 6;
}

/* Three photos of one sheet by one camera: half of what each states is common to all. */
static void the_stated_radius_holds_the_truth_at_least_as_often_as_it_says(void **state)
{
    uint64_t seed = 5;
    int held = 0;

    (void)state;
    for (int run = 0; run < RUNS; run++) {
        const struct lab truth = {50, 20, 10};
        struct observation readings[3];
        struct range_ink ink = {.name = "Juniper 1"};
        double common[3];

        for (int k = 0; k < 3; k++)
            common[k] = sqrt(0.25) * normal(&seed);
        for (int i = 0; i < 3; i++) {
            double error[3];

            for (int k = 0; k < 3; k++)
                error[k] = common[k] + sqrt(0.25 + 0.04) * normal(&seed);
            readings[i] =
                shared((struct lab){truth.L + error[0], truth.a + error[1], truth.b + error[2]},
                       2 * DAY + i, i + 1, 0.5);
        }
        settled_colour(readings, 3, &ink);
        held += colour_delta_e_2000(ink.lab, truth) <= ink.u95;
    }
    assert_true(held >= RUNS * 95 / 100);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_wet_reading_never_stands_for_the_ink),
        cmocka_unit_test(a_dry_reading_comes_before_a_later_one_of_unknown_age),
        cmocka_unit_test(a_fit_tells_dry_from_wet_before_the_day_is_over),
        cmocka_unit_test(swatches_of_one_photo_are_averaged),
        cmocka_unit_test(readings_on_another_paper_or_of_another_batch_do_not_count),
        cmocka_unit_test(of_unknown_age_only_what_agrees_with_the_latest_counts),
        cmocka_unit_test(what_photos_share_does_not_average_out),
        cmocka_unit_test(a_photo_counts_by_what_it_is_worth_and_the_worst_not_at_all),
        cmocka_unit_test(photos_that_differ_by_more_than_they_state_raise_the_doubt),
        cmocka_unit_test(two_inks_of_the_same_photos_share_their_error),
        cmocka_unit_test(the_stated_radius_holds_the_truth_at_least_as_often_as_it_says),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
