#include "drawing.h"

#include "measurement/turn.h"

/* A row of four cells, as they were read. */
static enum status lies(const bool named[4], const enum cell_found found[4], struct error *error)
{
    static const struct photo photo = {.path = DRAWING_PHOTO};
    struct reading readings[4] = {0};
    struct measured_chart chart = {.pose = {.rows = 1, .columns = 4}, .readings = readings};

    for (int i = 0; i < 4; i++)
        readings[i].found = found[i];
    return turn_check(&photo, named, &chart, error);
}

static void a_sheet_whose_names_fit_better_half_a_turn_on_is_refused(void **state)
{
    const bool named[4] = {true, true, true, false};
    const enum cell_found found[4] = {CELL_EMPTY, CELL_INK, CELL_INK, CELL_INK};
    struct error error = {0};

    (void)state;
    assert_int_equal(lies(named, found, &error), STATUS_NOT_FOUND);
    drawing_assert_helpful(&error, "half a turn on", "turn the photo upright");
    assert_non_null(strstr(error.message, "2 cells"));
}

static void one_cell_alone_does_not_turn_a_sheet(void **state)
{
    const bool named[4] = {true, true, true, false};
    const enum cell_found found[4] = {CELL_UNREADABLE, CELL_INK, CELL_INK, CELL_INK};
    struct error error = {0};

    (void)state;
    assert_int_equal(lies(named, found, &error), STATUS_OK);
}

static void a_sheet_that_lies_as_named_passes_and_so_does_one_without_names(void **state)
{
    const bool named[4] = {false, true, true, true};
    const enum cell_found found[4] = {CELL_EMPTY, CELL_INK, CELL_INK, CELL_INK};
    struct error error = {0};

    (void)state;
    assert_int_equal(lies(named, found, &error), STATUS_OK);
    assert_int_equal(lies(NULL, found, &error), STATUS_OK);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_sheet_whose_names_fit_better_half_a_turn_on_is_refused),
        cmocka_unit_test(one_cell_alone_does_not_turn_a_sheet),
        cmocka_unit_test(a_sheet_that_lies_as_named_passes_and_so_does_one_without_names),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
