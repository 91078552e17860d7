#include "inventory/combinations.h"
#include "inventory_fixture.h"

static struct inventory *inventory_of_inks(struct made *made)
{
    struct inventory *inventory = open_inventory();

    make(made, "a", 2, 3);
    store(inventory, &made->entry);
    return inventory;
}

static struct inventory_combination run_of(const char *first, const char *second)
{
    struct inventory_combination run = {
        .count = 2, .mood = (char *)"tonal", .made = {PHOTO_TIME_GIVEN, 1777796400, 60, true}};

    run.inks[0] = (char *)first;
    run.inks[1] = (char *)second;
    return run;
}

static void a_combination_is_kept_with_its_order_mood_and_time(void **state)
{
    static struct made made;
    struct inventory *inventory = inventory_of_inks(&made);
    struct inventory_combination later = run_of("Ink 3", "Ink 1"),
                                 earlier = run_of("Ink 2", "Ink 5");
    struct inventory_combinations kept;
    struct error error = {0};

    (void)state;
    earlier.made.utc_seconds -= 100;
    later.note = (char *)"for beans";
    assert_int_equal(inventory_add_combination(inventory, &later, &error), STATUS_OK);
    assert_int_equal(inventory_add_combination(inventory, &earlier, &error), STATUS_OK);
    assert_int_equal(inventory_read_combinations(inventory, NULL, &kept, &error), STATUS_OK);
    assert_int_equal(kept.count, 2);
    assert_string_equal(kept.items[0].inks[0], "Ink 2");
    assert_int_equal(kept.items[1].count, 2);
    assert_string_equal(kept.items[1].inks[0], "Ink 3");
    assert_string_equal(kept.items[1].inks[1], "Ink 1");
    assert_string_equal(kept.items[1].mood, "tonal");
    assert_string_equal(kept.items[1].note, "for beans");
    assert_null(kept.items[0].note);
    assert_int_equal(kept.items[1].made.utc_seconds, 1777796400);
    assert_int_equal(kept.items[1].made.offset_minutes, 60);
    inventory_combinations_release(&kept);
    inventory_close(inventory);
}

static void a_combination_with_an_ink_that_is_not_there_is_not_kept_at_all(void **state)
{
    static struct made made;
    struct inventory *inventory = inventory_of_inks(&made);
    struct inventory_combination run = run_of("Ink 1", "Ink 99");
    struct inventory_combinations kept;
    struct error error = {0};

    (void)state;
    assert_int_equal(inventory_add_combination(inventory, &run, &error), STATUS_INVENTORY);
    assert_non_null(strstr(error.message, "Ink 99"));
    assert_int_equal(inventory_read_combinations(inventory, NULL, &kept, &error), STATUS_OK);
    assert_int_equal(kept.count, 0);
    inventory_close(inventory);
}

static struct inventory_strip strip_of(const char *hash)
{
    return (struct inventory_strip){
        .first = (char *)"Ink 1",
        .second = (char *)"Ink 4",
        .photo = (char *)"blend.jpg",
        .hash = (char *)hash,
        .taken = {PHOTO_TIME_EXIF, 1777796400, 120, true},
        .count = 3,
        .cells = {{0, {30, 1, 2}, 1}, {0.5, {40, 3, 4}, 1.5}, {1, {50, 5, 6}, 1.25}}};
}

static void a_test_blend_is_kept_cell_by_cell(void **state)
{
    static struct made made;
    struct inventory *inventory = inventory_of_inks(&made);
    struct inventory_strip one = strip_of("one"), two = strip_of("two");
    struct inventory_strips kept;
    struct error error = {0};

    (void)state;
    assert_int_equal(inventory_add_strip(inventory, &one, &error), STATUS_OK);
    assert_int_equal(inventory_add_strip(inventory, &two, &error), STATUS_OK);
    assert_int_equal(inventory_read_strips(inventory, &kept, &error), STATUS_OK);
    assert_int_equal(kept.count, 2);
    assert_string_equal(kept.items[0].first, "Ink 1");
    assert_string_equal(kept.items[0].second, "Ink 4");
    assert_string_equal(kept.items[1].hash, "two");
    assert_string_equal(kept.items[1].photo, "blend.jpg");
    assert_int_equal(kept.items[1].taken.utc_seconds, 1777796400);
    assert_int_equal(kept.items[1].count, 3);
    assert_true(kept.items[1].cells[1].second_share == 0.5);
    assert_true(kept.items[1].cells[1].lab.a == 3);
    assert_true(kept.items[1].cells[1].u95 == 1.5);
    inventory_strips_release(&kept);
    inventory_close(inventory);
}

static void the_same_photo_of_a_blend_is_not_kept_twice_not_even_turned_round(void **state)
{
    static struct made made;
    struct inventory *inventory = inventory_of_inks(&made);
    struct inventory_strip strip = strip_of("one"), turned = strip;
    struct inventory_strips kept;
    struct error error = {0};

    (void)state;
    turned.first = strip.second;
    turned.second = strip.first;
    assert_int_equal(inventory_add_strip(inventory, &strip, &error), STATUS_OK);
    assert_int_equal(inventory_add_strip(inventory, &strip, &error), STATUS_INVENTORY);
    assert_int_equal(inventory_add_strip(inventory, &turned, &error), STATUS_INVENTORY);
    assert_int_equal(inventory_read_strips(inventory, &kept, &error), STATUS_OK);
    assert_int_equal(kept.count, 1);
    inventory_strips_release(&kept);
    inventory_close(inventory);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST(a_combination_is_kept_with_its_order_mood_and_time),
        TEST(a_combination_with_an_ink_that_is_not_there_is_not_kept_at_all),
        TEST(a_test_blend_is_kept_cell_by_cell),
        TEST(the_same_photo_of_a_blend_is_not_kept_twice_not_even_turned_round),
    };

    return cmocka_run_group_tests(tests, make_folder, remove_folder);
}
