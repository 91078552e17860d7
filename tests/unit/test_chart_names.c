#include "drawing.h"

#include "location/chart_names.h"

/* Rows of a sheet: '#' a cell that is inked or named, '.' one that is bare or has no name, '?' one
 * that might be either. */
struct pattern {
    int rows;
    int columns;
    const char *cells;
};

static const struct pattern names = {3, 3, "##.##.###"};

/* How names lie on what was seen, of which `around` rows and columns lie outside the sheet. */
static enum status lie(const struct pattern *seen, int around, const struct pattern *named,
                       struct chart_lay *lay)
{
    enum ink places[64];
    bool names_cell[64];
    const struct ink_seen ink = {
        {seen->columns - 2 * around, seen->rows - 2 * around}, around, places};
    const struct chart_wanted wanted = {named->rows, named->columns, names_cell, 0,
                                        false,       false,          0};
    struct error error = {0};
    enum status status;

    for (int i = 0; seen->cells[i]; i++)
        places[i] = seen->cells[i] == '#'   ? INK_SEEN
                    : seen->cells[i] == '.' ? INK_NONE
                                            : INK_UNSURE;
    for (int i = 0; named->cells[i]; i++)
        names_cell[i] = named->cells[i] == '#';
    status = chart_names_lay(DRAWING_PHOTO, &ink, &wanted, lay, &error);
    if (status)
        drawing_assert_helpful(&error, "sheet", "check");
    return status;
}

static void assert_lies(const struct pattern *seen, int around, struct chart_lay wanted)
{
    struct chart_lay lay;

    assert_int_equal(lie(seen, around, &names, &lay), STATUS_OK);
    assert_int_equal(lay.turns, wanted.turns);
    assert_int_equal(lay.column, wanted.column);
    assert_int_equal(lay.row, wanted.row);
}

static void a_sheet_seen_in_any_turn_is_told_by_its_blank_cells(void **state)
{
    const struct pattern turned[] = {
        {3, 3, "##.##.###"}, {3, 3, "#######.."}, {3, 3, "###.##.##"}, {3, 3, "..#######"}};

    (void)state;
    for (int turns = 0; turns < 4; turns++)
        assert_lies(&turned[turns], 0, (struct chart_lay){turns, 0, 0});
}

/* A sheet without blank cells lies as it is told; its rows and columns are as it stands upright. */
static void a_full_sheet_lies_as_it_is_told(void **state)
{
    static const bool named[6] = {true, true, true, true, true, true};
    enum ink places[6] = {INK_SEEN, INK_SEEN, INK_SEEN, INK_SEEN, INK_SEEN, INK_SEEN};
    const struct ink_seen as_it_stands = {{3, 2}, 0, places}, on_its_side = {{2, 3}, 0, places};
    struct chart_lay lay;
    struct error error;

    (void)state;
    for (int turns = 0; turns < 4; turns++) {
        const struct ink_seen *seen = turns % 2 ? &on_its_side : &as_it_stands;
        const struct chart_wanted told = {2, 3, named, 0, false, true, turns};
        const struct chart_wanted unnamed = {2, 3, NULL, 0, false, true, turns};

        assert_int_equal(chart_names_lay(DRAWING_PHOTO, seen, &told, &lay, &error), STATUS_OK);
        assert_int_equal(lay.turns, turns);
        assert_int_equal(chart_names_lay(DRAWING_PHOTO, seen, &unnamed, &lay, &error), STATUS_OK);
        assert_int_equal(lay.turns, turns);
    }
    assert_int_equal(chart_names_lay(DRAWING_PHOTO, &on_its_side,
                                     &(struct chart_wanted){2, 3, named, 0, false, true, 2}, &lay,
                                     &error),
                     STATUS_NOT_FOUND);
}

/* Two rows and columns with ink are found, of a sheet with one more at the left that is blank. */
static void a_sheet_reaches_past_what_was_found_where_its_names_say_so(void **state)
{
    const struct pattern blank_left = {2, 3, ".##.#."};
    const struct pattern clear = {4, 4, ".....##..#......"}, doubtful = {4, 4, ".....##..#?....."};
    struct chart_lay lay;

    (void)state;
    assert_int_equal(lie(&clear, 1, &blank_left, &lay), STATUS_OK);
    assert_int_equal(lay.turns, 0);
    assert_int_equal(lay.column, -1);
    assert_int_equal(lay.row, 0);
    assert_int_equal(lie(&doubtful, 1, &blank_left, &lay), STATUS_NOT_FOUND);
}

static void names_of_another_sheet_are_refused(void **state)
{
    const struct pattern seen = {3, 3, "#.#.#.#.#"};
    struct chart_lay lay;

    (void)state;
    assert_int_equal(lie(&seen, 0, &names, &lay), STATUS_NOT_FOUND);
}

static void a_cell_that_might_be_either_speaks_for_no_turn(void **state)
{
    const struct pattern seen = {3, 3, "##?##?###"};

    (void)state;
    assert_lies(&seen, 0, (struct chart_lay){0, 0, 0});
}

static void rows_and_columns_that_differ_are_refused_though_no_cell_is_named(void **state)
{
    const struct ink_seen seen = {{4, 3}, 0, NULL};
    const struct chart_wanted unknown = {0}, as_found = {3, 4, NULL, 0, false, false, 0},
                              turned = {4, 3, NULL, 0, false, false, 0};
    struct chart_lay lay;
    struct error error = {0};

    (void)state;
    assert_int_equal(chart_names_lay(DRAWING_PHOTO, &seen, &unknown, &lay, &error), STATUS_OK);
    assert_int_equal(chart_names_lay(DRAWING_PHOTO, &seen, &as_found, &lay, &error), STATUS_OK);
    assert_int_equal(chart_names_lay(DRAWING_PHOTO, &seen, &turned, &lay, &error),
                     STATUS_NOT_FOUND);
    drawing_assert_helpful(&error, "3 rows x 4 columns", "check --names");
}

static void names_reach_as_far_as_the_longer_side_might_lie(void **state)
{
    const int lines[AXES] = {3, 4};
    const bool named[1] = {true};
    const struct chart_wanted larger = {4, 6, named, 0, false, false, 0},
                              smaller = {2, 3, named, 0, false, false, 0};

    (void)state;
    assert_int_equal(chart_names_reach(lines, &larger), 3);
    assert_int_equal(chart_names_reach(lines, &smaller), 0);
    assert_int_equal(chart_names_reach(lines, &(struct chart_wanted){.rows = 9, .columns = 9}), 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_full_sheet_lies_as_it_is_told),
        cmocka_unit_test(a_sheet_seen_in_any_turn_is_told_by_its_blank_cells),
        cmocka_unit_test(a_sheet_reaches_past_what_was_found_where_its_names_say_so),
        cmocka_unit_test(names_of_another_sheet_are_refused),
        cmocka_unit_test(a_cell_that_might_be_either_speaks_for_no_turn),
        cmocka_unit_test(rows_and_columns_that_differ_are_refused_though_no_cell_is_named),
        cmocka_unit_test(names_reach_as_far_as_the_longer_side_might_lie),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
