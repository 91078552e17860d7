#include "inventory_fixture.h"
#include "page/look.h"
#include "questions/overview.h"

#include <math.h>

/* The range as the page looks it over: at once in a rough order, then in the fine one. */

#define MANY (LOOK_FINELY_MAX + 16)

static void store_range(int inks)
{
    static struct made made;
    struct inventory *inventory = open_inventory();

    make(&made, "a photo", inks / 16, 16);
    for (int i = 0; i < inks; i++) {
        double hue = 2.4 * i;

        made.readings[i].lab =
            (struct lab){30 + (7 * i) % 50, 10 + 30 * cos(hue), 5 + 30 * sin(hue)};
    }
    store(inventory, &made.entry);
    inventory_close(inventory);
}

/* The length of the path from ink to ink within families, as they are shown. */
static double length_of(const struct overview *overview)
{
    double length = 0;

    for (size_t i = 1; i < overview->count; i++)
        if (overview->inks[i].family == overview->inks[i - 1].family)
            length +=
                colour_delta_e_2000(overview->inks[i - 1].ink->lab, overview->inks[i].ink->lab);
    return length;
}

/* What is seen: how long the path is, and whether the order is rough. */
struct seen {
    double length;
    bool rough;
    size_t count;
};

static struct seen look_once(struct look *look, const char *revision)
{
    struct overview *overview;
    struct error error;
    struct seen seen;

    assert_int_equal(look_at(look, path, revision, &overview, &error), STATUS_OK);
    seen = (struct seen){length_of(overview), overview->ordered.rough, overview->count};
    look_away(look);
    return seen;
}

static void
a_large_range_is_seen_in_a_rough_order_until_it_has_been_put_in_the_fine_one(void **state)
{
    struct look *look;
    struct error error;
    struct seen rough, fine;

    (void)state;
    store_range(MANY);
    assert_int_equal(look_create(&look, &error), STATUS_OK);
    rough = look_once(look, "first");
    assert_int_equal(rough.count, MANY);
    assert_true(rough.rough);
    assert_int_equal(look_finely(look, path, "first", &error), STATUS_OK);
    fine = look_once(look, "first");
    assert_int_equal(fine.count, MANY);
    assert_false(fine.rough);
    assert_true(fine.length < 0.8 * rough.length);
    assert_true(look_once(look, "second").rough); /* another state of the inventory */
    look_release(look);
}

static void a_small_range_is_seen_in_the_fine_order_at_once(void **state)
{
    struct look *look;
    struct error error;

    (void)state;
    store_range(LOOK_FINELY_MAX);
    assert_int_equal(look_create(&look, &error), STATUS_OK);
    assert_false(look_once(look, "first").rough);
    look_release(look);
}

static void the_rough_order_goes_family_by_family_from_light_to_dark(void **state)
{
    struct overview overview;
    struct error error;

    (void)state;
    store_range(MANY);
    assert_int_equal(overview_load(path, NULL, 1, &overview, &error), STATUS_OK);
    for (size_t i = 1; i < overview.count; i++) {
        const struct overview_ink *before = &overview.inks[i - 1], *now = &overview.inks[i];

        assert_true(now->family >= before->family);
        if (now->family == before->family)
            assert_true(now->ink->lab.L <= before->ink->lab.L);
    }
    overview_release(&overview);
}

#define TEST_OF_RANGE(test) cmocka_unit_test_teardown(test, remove_inventory)

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_OF_RANGE(a_large_range_is_seen_in_a_rough_order_until_it_has_been_put_in_the_fine_one),
        TEST_OF_RANGE(a_small_range_is_seen_in_the_fine_order_at_once),
        TEST_OF_RANGE(the_rough_order_goes_family_by_family_from_light_to_dark),
    };

    return cmocka_run_group_tests(tests, make_folder, remove_folder);
}
