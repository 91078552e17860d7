#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "analysis/repeat.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define CELLS 200
#define PHOTOS 6

/* Box and Muller. */
static double normal(void)
{
    double u = (rand() + 1.0) / (RAND_MAX + 2.0), v = rand() / (RAND_MAX + 1.0);

    return sqrt(-2 * log(u)) * cos(6.283185307179586 * v);
}

static struct lab shifted(struct lab lab, const double off[3])
{
    return (struct lab){lab.L + off[0], lab.a + off[1], lab.b + off[2]};
}

/* Greys whose readings err by an error of all photos, one of each photo, and one of their own. */
static void take(double common, double photo, double own, struct repeat_reading *readings,
                 struct lab *truth)
{
    const double of_all[3] = {common * normal(), common * normal(), common * normal()};

    for (int i = 0; i < CELLS; i++)
        truth[i] = (struct lab){30 + i / 4.0, 0, 0};
    for (int p = 0; p < PHOTOS; p++) {
        const double of_photo[3] = {photo * normal(), photo * normal(), photo * normal()};

        for (int i = 0; i < CELLS; i++) {
            struct repeat_reading *reading = &readings[p * CELLS + i];
            const double of_cell[3] = {own * normal(), own * normal(), own * normal()};

            memset(reading, 0, sizeof *reading);
            reading->readable = true;
            reading->lab = shifted(shifted(shifted(truth[i], of_all), of_photo), of_cell);
            for (int k = 0; k < 9; k += 4) {
                reading->covariance_shared[k] = common * common + photo * photo;
                reading->covariance_own[k] = own * own;
            }
        }
    }
}

static double pool(double common, double photo, double own, struct repeat *repeat)
{
    static struct repeat_reading readings[PHOTOS * CELLS];
    static struct repeat_cell pooled[CELLS];
    static struct lab truth[CELLS];
    struct error error;
    int held = 0;

    take(common, photo, own, readings, truth);
    assert_int_equal(repeat_pool(readings, PHOTOS, CELLS, pooled, repeat, &error), STATUS_OK);
    for (int i = 0; i < CELLS; i++) {
        assert_int_equal(pooled[i].photos, PHOTOS);
        assert_true(pooled[i].largest >= pooled[i].repeatability);
        held += colour_delta_e_2000(pooled[i].lab, truth[i]) <= pooled[i].u95;
    }
    return (double)held / CELLS;
}

static void what_photos_share_does_not_shrink_with_their_number(void **state)
{
    struct repeat repeat;

    (void)state;
    srand(3);
    pool(1.0, 0.0, 0.1, &repeat);
    assert_true(repeat.stays > 0.9);
    assert_true(repeat.median_difference < 0.5);
}

static void what_photos_differ_by_shrinks_with_their_number(void **state)
{
    struct repeat repeat;
    double stays = 0;

    (void)state;
    srand(4);
    for (int i = 0; i < 20; i++) {
        pool(0.0, 1.0, 0.1, &repeat);
        stays += repeat.stays / 20;
    }
    assert_true(stays < 0.35);
}

static void the_pooled_radius_holds_the_truth(void **state)
{
    struct repeat repeat;
    double held = 0;

    (void)state;
    srand(5);
    for (int i = 0; i < 200; i++)
        held += pool(0.5, 0.5, 0.3, &repeat) / 200;
    assert_true(held > 0.90 && held < 0.995);
}

static void photos_that_agree_are_told_from_photos_that_do_not(void **state)
{
    struct repeat alike, unlike;

    (void)state;
    srand(6);
    pool(0.5, 0.05, 0.05, &alike);
    pool(0.5, 1.0, 0.05, &unlike);
    assert_true(alike.median_difference < 0.2);
    assert_true(unlike.median_difference > 5 * alike.median_difference);
}

static void a_cell_read_in_one_photo_alone_keeps_that_photos_radius(void **state)
{
    struct repeat_reading readings[2] = {
        {true, {50, 0, 0}, {1, 0, 0, 0, 1, 0, 0, 0, 1}, {0.1, 0, 0, 0, 0.1, 0, 0, 0, 0.1}}, {0}};
    struct repeat_cell pooled;
    struct repeat repeat;
    struct error error;

    (void)state;
    assert_int_equal(repeat_pool(readings, 2, 1, &pooled, &repeat, &error), STATUS_OK);
    assert_int_equal(pooled.photos, 1);
    assert_true(pooled.u95 > 1.5);
    assert_int_equal(repeat.cells, 0);
    assert_true(pooled.repeatability == 0);
}

/* Photos of one sheet whose errors are as stated are never taken for two; another sheet is. */
static void another_sheet_is_found_and_one_sheet_never_is_two(void **state)
{
    static struct repeat_reading readings[PHOTOS * CELLS];
    static struct lab truth[CELLS];
    struct repeat_apart apart;
    struct error error;

    (void)state;
    srand(8);
    for (int i = 0; i < 200; i++) {
        take(0.5, 0.7, 0.3, readings, truth);
        assert_int_equal(repeat_find_apart(readings, PHOTOS, CELLS, &apart, &error), STATUS_OK);
        assert_false(apart.found);
    }
    for (int i = 0; i < CELLS; i++)
        readings[3 * CELLS + i].lab.b += i % 2 ? 7 : -7;
    assert_int_equal(repeat_find_apart(readings, PHOTOS, CELLS, &apart, &error), STATUS_OK);
    assert_true(apart.found);
    assert_true(apart.first == 3 || apart.second == 3);
    assert_true(apart.unlike > CELLS * 9 / 10);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_photos_share_does_not_shrink_with_their_number),
        cmocka_unit_test(what_photos_differ_by_shrinks_with_their_number),
        cmocka_unit_test(the_pooled_radius_holds_the_truth),
        cmocka_unit_test(photos_that_agree_are_told_from_photos_that_do_not),
        cmocka_unit_test(a_cell_read_in_one_photo_alone_keeps_that_photos_radius),
        cmocka_unit_test(another_sheet_is_found_and_one_sheet_never_is_two),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
