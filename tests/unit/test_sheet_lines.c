#include "drawing.h"

#include "location/sheet_lines.h"

#include <math.h>

/* Columns that stand where they are told to, each held by a cell. */
static struct sheet_lines lines_at(const double *at, int count)
{
    struct sheet_lines lines = {.axis = AXIS_COLUMN, .count = count};

    for (int i = 0; i < count; i++) {
        lines.at[i] = at[i];
        lines.held[i] = true;
    }
    return lines;
}

static const double even[] = {0.5, 1.5, 2.5};

static void lines_are_counted_from_the_middle_of_the_first(void **state)
{
    struct lattice_node nodes[] = {{{0, 0}, {{0, 0}, 0, 0, 0, 0, 0}},
                                   {{2, 0}, {{0, 0}, 0, 0, 0, 0, 0}}};
    const struct lattice lattice = {
        .nodes = nodes, .count = 2, .lines = {3, 1}, .gaps = {{1, {2}, {0.5}}, {0, {0}, {0}}}};
    struct sheet_lines columns = sheet_lines_of(&lattice, AXIS_COLUMN);

    (void)state;
    assert_int_equal(columns.count, 3);
    drawing_assert_near(columns.at[1], 1.5, 1e-9);
    drawing_assert_near(columns.at[2], 3, 1e-9); /* behind the gap */
    assert_true(columns.held[0] && !columns.held[1] && columns.held[2]);
}

static void a_place_stands_on_the_line_it_is_near(void **state)
{
    const struct sheet_lines lines = lines_at(even, 3);

    (void)state;
    assert_int_equal(sheet_lines_at(&lines, 1.6), 1);
    assert_int_equal(sheet_lines_at(&lines, 2.4), 2);
    assert_int_equal(sheet_lines_at(&lines, 2), -1);
    assert_int_equal(sheet_lines_at(&lines, 3.5), -1);
}

static void a_new_line_needs_room_for_its_cells(void **state)
{
    const struct sheet_lines lines = lines_at(even, 3);

    (void)state;
    assert_true(sheet_lines_have_room(&lines, 3.5, 0.8));
    assert_false(sheet_lines_have_room(&lines, 3.1, 0.8));
    assert_false(sheet_lines_have_room(&lines, -0.1, 0.8));
}

static void the_next_line_stands_one_pitch_on_at_either_end(void **state)
{
    const struct sheet_lines lines = lines_at(even, 3);

    (void)state;
    assert_true(sheet_lines_has_neighbour(&lines, 3.52));
    assert_true(sheet_lines_has_neighbour(&lines, -0.48));
    assert_false(sheet_lines_has_neighbour(&lines, 3.65));
    assert_false(sheet_lines_has_neighbour(&lines, 4.5));
}

static void a_line_one_pitch_on_is_the_next_number(void **state)
{
    const struct sheet_lines lines = lines_at(even, 3);
    struct lattice_gaps gaps;
    int numbers[4];

    (void)state;
    assert_true(sheet_lines_insert(&lines, 3.5, numbers, &gaps));
    for (int i = 0; i < 4; i++)
        assert_int_equal(numbers[i], i);
    assert_int_equal(gaps.count, 0);
}

static void a_line_before_the_first_moves_all_others_on(void **state)
{
    const struct sheet_lines lines = lines_at(even, 3);
    struct lattice_gaps gaps;
    int numbers[4];

    (void)state;
    assert_true(sheet_lines_insert(&lines, -0.5, numbers, &gaps));
    assert_int_equal(numbers[0], 1);
    assert_int_equal(numbers[2], 3);
    assert_int_equal(numbers[3], 0);
}

static void a_line_of_blank_cells_is_counted_and_a_gap_of_half_a_pitch_is_noted(void **state)
{
    const struct sheet_lines lines = lines_at(even, 3);
    struct lattice_gaps gaps;
    int numbers[4];

    (void)state;
    assert_true(sheet_lines_insert(&lines, 4.5, numbers, &gaps)); /* one between them is blank */
    assert_int_equal(numbers[3], 4);
    assert_int_equal(gaps.count, 0);
    assert_true(sheet_lines_insert(&lines, 4, numbers, &gaps));
    assert_int_equal(numbers[3], 3);
    assert_int_equal(gaps.count, 1);
    assert_int_equal(gaps.before[0], 3);
    drawing_assert_near(gaps.extra[0], 0.5, 1e-9);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(lines_are_counted_from_the_middle_of_the_first),
        cmocka_unit_test(a_place_stands_on_the_line_it_is_near),
        cmocka_unit_test(a_new_line_needs_room_for_its_cells),
        cmocka_unit_test(the_next_line_stands_one_pitch_on_at_either_end),
        cmocka_unit_test(a_line_one_pitch_on_is_the_next_number),
        cmocka_unit_test(a_line_before_the_first_moves_all_others_on),
        cmocka_unit_test(a_line_of_blank_cells_is_counted_and_a_gap_of_half_a_pitch_is_noted),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
