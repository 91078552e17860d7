#include "inventory_fixture.h"
#include "questions/dried.h"
#include "questions/range_load.h"

#include <math.h>

/* What dries here is invented: ink 1 of a sheet of four loses 6 L* to its drying, by half every
 * hour, and is read every 10 minutes for an hour and a half. */
enum { INKED_S = 1777800000, EVERY_S = 600, TIMES = 9, HALVED_S = 3600 };

/* Each photo shares an error of its own, so that it shows which one a colour is taken from. */
static double shared_at(int time)
{
    return 0.01 * (time + 1);
}

static void store_at(struct inventory *inventory, int time, double lightness, bool again)
{
    static struct made made;
    char hash[33];

    snprintf(hash, sizeof hash, "photo-%d", time);
    make(&made, hash, 2, 2);
    made.photo.taken.utc_seconds = INKED_S + (time + 1) * EVERY_S;
    made.entry.inked_at = (struct photo_time){PHOTO_TIME_GIVEN, INKED_S, 120, true};
    made.entry.again = again;
    made.readings[0].lab.L = lightness;
    for (int i = 0; i < 4; i++)
        for (int j = 0; j < 9; j++)
            made.readings[i].covariance_own[j] = j % 4 == 0 ? 0.02 : 0;
    made.readings[0].covariance_shared[0] = shared_at(time);
    store(inventory, &made.entry);
}

static double lightness_at(int time)
{
    return 50 + 6 * exp2(-(time + 1.0) * EVERY_S / HALVED_S);
}

static void a_photo_measured_again_tells_of_drying_by_its_last_measurement_alone(void **state)
{
    struct inventory *inventory = open_inventory();
    const struct kept_filter filter = {.ink = "Ink 1"};
    const struct dried_question question = {.filter = &filter};
    struct inventory_readings readings;
    struct drying_set set;
    struct error error = {0};

    (void)state;
    store_at(inventory, 0, 40, false);
    store_at(inventory, 0, 60, true);
    readings = readings_of(inventory, NULL);
    assert_int_equal(readings.count, 8);
    assert_int_equal(dried_load(&readings, &question, &set, &error), STATUS_OK);
    assert_int_equal(set.count, 1);
    assert_int_equal(set.reading_count, 1);
    assert_true(fabs(set.readings[0].lab.L - 60) < 1e-9);
    dried_release(&set);
    inventory_readings_release(&readings);
    inventory_close(inventory);
}

static void
an_ink_read_only_while_drying_is_taken_at_its_dry_end_with_its_last_photos_error(void **state)
{
    struct inventory *inventory = open_inventory();
    const struct range_ink *ink = NULL;
    struct range range;
    struct error error = {0};

    (void)state;
    for (int time = 0; time < TIMES; time++)
        store_at(inventory, time, lightness_at(time), false);
    assert_int_equal(range_load(inventory, NULL, &range, &error), STATUS_OK);
    assert_int_equal(range_find(&range, "Ink 1", &ink, &error), STATUS_OK);
    assert_int_equal(ink->basis, COLOUR_DRY_END);
    assert_true(ink->lab.L < lightness_at(TIMES - 1));
    assert_true(fabs(ink->covariance_shared[0] - shared_at(TIMES - 1)) < 1e-9);
    range_release(&range);
    inventory_close(inventory);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST(a_photo_measured_again_tells_of_drying_by_its_last_measurement_alone),
        TEST(an_ink_read_only_while_drying_is_taken_at_its_dry_end_with_its_last_photos_error),
    };

    return cmocka_run_group_tests(tests, make_folder, remove_folder);
}
