#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "questions/standins.h"

/* Greys of L* 50, 52 and 60; between greys delta E 2000 is nearly that of lightness. */
static struct range_ink inks[] = {{.name = "Leek 14", .lab = {50, 0, 0}},
                                  {.name = "Rye 59", .lab = {52, 0, 0}},
                                  {.name = "Fennel 10", .lab = {60, 0, 0}}};
static const struct measured_range range = {.inks = inks, .count = 3};

static void a_colour_has_its_stand_ins_the_nearest_first(void **state)
{
    const struct range_ink asked = {.name = "asked", .lab = {51.5, 0, 0}};
    const struct near_wish wish = {3, 2};
    struct standins standins = {0};
    struct error error;

    (void)state;
    assert_int_equal(standins_of(&range, &asked, &wish, &standins, &error), STATUS_OK);
    assert_int_equal(standins.count, 2);
    assert_ptr_equal(standins.items[0].asked, &asked);
    assert_string_equal(standins.items[0].ink->name, "Rye 59");
    assert_string_equal(standins.items[1].ink->name, "Leek 14");
    assert_int_equal(standins.within, 2);
    standins_release(&standins);
}

static void each_cell_with_ink_has_its_own(void **state)
{
    struct reading readings[] = {
        {.row = 1, .column = 1, .found = CELL_INK, .lab = {61, 0, 0}},
        {.row = 1, .column = 2, .found = CELL_EMPTY, .lab = {50, 0, 0}},
        {.row = 2, .column = 1, .found = CELL_UNREADABLE},
        {.row = 2, .column = 2, .found = CELL_INK, .lab = {49, 0, 0}},
    };
    const struct measured_chart chart = {.pose = {.rows = 2, .columns = 2}, .readings = readings};
    const struct near_wish wish = {3, 1};
    struct standins standins = {0};
    struct error error;

    (void)state;
    assert_int_equal(standins_of_cells(&range, &chart, &wish, &standins, &error), STATUS_OK);
    assert_int_equal(standins.cell_count, 2);
    assert_int_equal(standins.count, 2);
    assert_string_equal(standins.items[0].asked->name, "A1");
    assert_string_equal(standins.items[0].ink->name, "Fennel 10");
    assert_string_equal(standins.items[1].asked->name, "B2");
    assert_string_equal(standins.items[1].ink->name, "Leek 14");
    standins_release(&standins);
}

static void pairs_of_the_range_are_those_within_the_tolerance(void **state)
{
    struct standins standins = {0};
    struct error error;

    (void)state;
    assert_int_equal(standins_in_range(&range, 3, &standins, &error), STATUS_OK);
    assert_int_equal(standins.count, 1);
    assert_string_equal(standins.items[0].asked->name, "Leek 14");
    assert_string_equal(standins.items[0].ink->name, "Rye 59");
    assert_true(standins.items[0].delta_e.measured > 1.5 &&
                standins.items[0].delta_e.measured < 2.5);
    standins_release(&standins);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_colour_has_its_stand_ins_the_nearest_first),
        cmocka_unit_test(each_cell_with_ink_has_its_own),
        cmocka_unit_test(pairs_of_the_range_are_those_within_the_tolerance),
    };

    return cmocka_run_group_tests_name("standins", tests, NULL, NULL);
}
