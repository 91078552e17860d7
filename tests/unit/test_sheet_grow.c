#include "sheet_fixture.h"

#include "location/sheet_grow.h"

static const struct drawing_grid grid = {{{{40, 60}, {540, 70}, {535, 380}, {42, 372}}}, 5, 3, 0.7};
static const struct lab blue = {35, 10, -35};

/* A sheet fully inked, of which the first columns are known. */
static void draw(int columns, struct fixture_sheet *drawn)
{
    fixture_sheet_draw(&grid, drawing_paper, fixture_plain, drawn);
    fixture_sheet_ink_all(drawn, drawing_colour(blue));
    fixture_sheet_know(drawn, columns, grid.rows);
}

static void grow(struct fixture_sheet *drawn)
{
    struct error error = {0};

    assert_int_equal(sheet_grow(&drawn->sheet, &error), STATUS_OK);
}

static int leftover(const struct fixture_sheet *drawn)
{
    struct error error = {0};
    int count = -1;

    assert_int_equal(sheet_grow_leftover(&drawn->sheet, &count, &error), STATUS_OK);
    return count;
}

static void columns_that_were_missed_are_taken_in(void **state)
{
    struct fixture_sheet drawn;

    (void)state;
    draw(3, &drawn);
    grow(&drawn);
    assert_int_equal(drawn.sheet.lattice.lines[AXIS_COLUMN], 5);
    assert_int_equal(drawn.sheet.lattice.lines[AXIS_ROW], 3);
    assert_int_equal(drawn.sheet.lattice.count, 15);
    assert_int_equal(drawn.sheet.lattice.gaps[AXIS_COLUMN].count, 0);
    fixture_sheet_release(&drawn);
}

static void a_cell_that_was_missed_inside_gets_its_place(void **state)
{
    struct fixture_sheet drawn;
    struct lattice *lattice = &drawn.sheet.lattice;
    struct error error = {0};

    (void)state;
    draw(5, &drawn);
    lattice->nodes[7] = lattice->nodes[--lattice->count];
    assert_int_equal(sheet_fit(&drawn.sheet, &error), STATUS_OK);
    grow(&drawn);
    assert_int_equal(lattice->count, 15);
    assert_int_equal(lattice->nodes[14].at[AXIS_COLUMN], 2);
    assert_int_equal(lattice->nodes[14].at[AXIS_ROW], 1);
    fixture_sheet_release(&drawn);
}

/* Columns of ink on the desk beside the sheet are none of it. */
static void what_lies_beyond_the_papers_edge_is_not_taken_in(void **state)
{
    struct quad edge = drawing_part(&grid, (struct point){3.02, -1}, (struct point){6, 4});
    struct fixture_sheet drawn;

    (void)state;
    fixture_sheet_draw(&grid, drawing_paper, fixture_plain, &drawn);
    drawing_quad(&drawn.photo, &edge, drawing_desk);
    fixture_sheet_ink_all(&drawn, drawing_colour(blue));
    fixture_sheet_know(&drawn, 3, grid.rows);
    grow(&drawn);
    assert_int_equal(drawn.sheet.lattice.lines[AXIS_COLUMN], 3);
    assert_int_equal(leftover(&drawn), 0);
    fixture_sheet_release(&drawn);
}

/* Of two columns that were missed the nearer tells: ink lies between the farther and what is known.
 */
static void cells_beside_the_known_ones_are_counted_as_left_over(void **state)
{
    struct fixture_sheet drawn;

    (void)state;
    draw(3, &drawn);
    assert_int_equal(leftover(&drawn), 3);
    grow(&drawn);
    assert_int_equal(leftover(&drawn), 0);
    fixture_sheet_release(&drawn);
}

/* A region of another size, as of a title, is no cell. */
static void what_is_of_another_size_is_neither_taken_in_nor_left_over(void **state)
{
    struct fixture_sheet drawn;

    (void)state;
    fixture_sheet_draw(&grid, drawing_paper, fixture_plain, &drawn);
    for (int i = 0; i < 15; i++) {
        double x = i % 5 + 0.5, y = i / 5 + 0.5;
        struct quad small = drawing_part(&grid, (struct point){x - 0.18, y - 0.18},
                                         (struct point){x + 0.18, y + 0.18});

        if (i % 5 < 3) {
            fixture_sheet_ink(&drawn, i / 5, i % 5, drawing_colour(blue));
        } else {
            drawing_quad(&drawn.photo, &small, drawing_colour(blue));
            drawn.regions.items[drawn.regions.count++] = fixture_region(&small);
        }
    }
    fixture_sheet_know(&drawn, 3, grid.rows);
    assert_int_equal(leftover(&drawn), 0);
    grow(&drawn);
    assert_int_equal(drawn.sheet.lattice.lines[AXIS_COLUMN], 3);
    fixture_sheet_release(&drawn);
}

static const struct lab swabs[3] = {{35, 10, -35}, {84, -12, 8}, {60, 40, 20}};

/* Columns 1 to 3 are inked and known; what is before and behind them is hatched. */
static void hatch_both_sides(const struct lab inks[3], struct fixture_sheet *drawn)
{
    fixture_sheet_draw(&grid, drawing_paper, fixture_plain, drawn);
    for (int row = 0; row < 3; row++) {
        fixture_sheet_hatch(drawn, row, 0, 6, drawing_colour(inks[row]));
        fixture_sheet_hatch(drawn, row, 4, 6, drawing_colour(inks[row]));
        for (int column = 1; column < 4; column++)
            fixture_sheet_ink(drawn, row, column, drawing_colour(blue));
    }
    fixture_sheet_know_from(drawn, 1, 3, grid.rows);
}

static void lines_hatched_with_a_pen_are_taken_in_on_both_sides(void **state)
{
    struct fixture_sheet drawn;

    (void)state;
    hatch_both_sides(swabs, &drawn);
    grow(&drawn);
    assert_int_equal(drawn.sheet.lattice.lines[AXIS_COLUMN], 5);
    assert_int_equal(drawn.sheet.lattice.lines[AXIS_ROW], 3);
    assert_int_equal(drawn.sheet.lattice.count, 9);
    assert_int_equal(drawn.sheet.lattice.nodes[0].at[AXIS_COLUMN], 1);
    assert_int_equal(leftover(&drawn), 0);
    fixture_sheet_release(&drawn);
}

static void lettering_of_one_ink_makes_no_line(void **state)
{
    const struct lab black[3] = {{20, 0, 0}, {20, 0, 0}, {20, 0, 0}};
    struct fixture_sheet drawn;

    (void)state;
    hatch_both_sides(black, &drawn);
    grow(&drawn);
    assert_int_equal(drawn.sheet.lattice.lines[AXIS_COLUMN], 3);
    assert_int_equal(leftover(&drawn), 0);
    fixture_sheet_release(&drawn);
}

/* One of the three is blank: it might be a line. */
static void a_line_that_is_mostly_hatched_is_left_over(void **state)
{
    struct fixture_sheet drawn;

    (void)state;
    fixture_sheet_draw(&grid, drawing_paper, fixture_plain, &drawn);
    for (int i = 0; i < 12; i++)
        fixture_sheet_ink(&drawn, i / 4, i % 4, drawing_colour(blue));
    fixture_sheet_hatch(&drawn, 0, 4, 6, drawing_colour(swabs[0]));
    fixture_sheet_hatch(&drawn, 1, 4, 6, drawing_colour(swabs[1]));
    fixture_sheet_know(&drawn, 4, grid.rows);
    grow(&drawn);
    assert_int_equal(drawn.sheet.lattice.lines[AXIS_COLUMN], 4);
    assert_int_equal(leftover(&drawn), 2);
    fixture_sheet_release(&drawn);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(columns_that_were_missed_are_taken_in),
        cmocka_unit_test(a_cell_that_was_missed_inside_gets_its_place),
        cmocka_unit_test(what_lies_beyond_the_papers_edge_is_not_taken_in),
        cmocka_unit_test(cells_beside_the_known_ones_are_counted_as_left_over),
        cmocka_unit_test(what_is_of_another_size_is_neither_taken_in_nor_left_over),
        cmocka_unit_test(lines_hatched_with_a_pen_are_taken_in_on_both_sides),
        cmocka_unit_test(lettering_of_one_ink_makes_no_line),
        cmocka_unit_test(a_line_that_is_mostly_hatched_is_left_over),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
