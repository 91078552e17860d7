#include "sheet_fixture.h"

#include "location/sheet_clean.h"

static const struct drawing_grid grid = {{{{40, 60}, {540, 70}, {535, 380}, {42, 372}}}, 6, 4, 0.6};
static const struct lab blue = {35, 10, -35};

static void draw(struct fixture_sheet *drawn)
{
    fixture_sheet_draw(&grid, drawing_paper, fixture_plain, drawn);
    fixture_sheet_ink_all(drawn, drawing_colour(blue));
    fixture_sheet_know(drawn, grid.columns, grid.rows);
}

/* What is left of the sheet, and what was cut off it. */
static void clean(struct fixture_sheet *drawn, struct sheets *others)
{
    struct error error = {0};

    assert_int_equal(sheet_clean(&drawn->sheet, others, &error), STATUS_OK);
}

static void a_clean_sheet_stays_as_it_is(void **state)
{
    struct fixture_sheet drawn;
    struct sheets others = {0};

    (void)state;
    draw(&drawn);
    clean(&drawn, &others);
    assert_int_equal(drawn.sheet.lattice.count, 24);
    assert_int_equal(drawn.sheet.lattice.lines[AXIS_COLUMN], 6);
    assert_int_equal(others.count, 0);
    sheets_release(&others);
    fixture_sheet_release(&drawn);
}

/* A single region off its place in an outer column, as of a label, is no column of cells. */
static void a_column_that_one_stray_region_holds_is_taken_off(void **state)
{
    struct fixture_sheet drawn;
    struct lattice *lattice = &drawn.sheet.lattice;
    struct sheets others = {0};
    size_t kept = 0;

    (void)state;
    draw(&drawn);
    for (size_t i = 0; i < lattice->count; i++)
        if (lattice->nodes[i].at[AXIS_COLUMN] > 0 || lattice->nodes[i].at[AXIS_ROW] == 1)
            lattice->nodes[kept++] = lattice->nodes[i];
    lattice->count = kept;
    for (size_t i = 0; i < kept; i++)
        if (lattice->nodes[i].at[AXIS_COLUMN] == 0)
            lattice->nodes[i].region.centre.x += 16;
    clean(&drawn, &others);
    assert_int_equal(lattice->lines[AXIS_COLUMN], 5);
    assert_int_equal(lattice->count, 20);
    assert_int_equal(lattice->nodes[0].at[AXIS_COLUMN], 0); /* counted afresh */
    sheets_release(&others);
    fixture_sheet_release(&drawn);
}

/* Two sheets side by side, with the desk between them, make one lattice at first. */
static void a_sheet_is_cut_where_the_desk_shows_between_its_columns(void **state)
{
    struct quad desk = drawing_part(&grid, (struct point){3.83, -1}, (struct point){4.17, 5});
    struct fixture_sheet drawn;
    struct sheets others = {0};

    (void)state;
    draw(&drawn);
    drawing_quad(&drawn.photo, &desk, drawing_desk);
    clean(&drawn, &others);
    assert_int_equal(drawn.sheet.lattice.count, 16);
    assert_int_equal(others.count, 1);
    assert_int_equal(others.items[0].lattice.count, 8);
    sheets_release(&others);
    fixture_sheet_release(&drawn);
}

static void a_lattice_over_the_card_is_no_chart(void **state)
{
    struct fixture_sheet drawn;
    struct sheets others = {0};

    (void)state;
    draw(&drawn);
    for (int i = 0; i < CARD_PATCHES; i++)
        if (i != CARD_FIRST_NEUTRAL)
            drawn.cards[0].patch[i] = drawing_cell(&grid, 1, 1);
    clean(&drawn, &others);
    assert_int_equal(drawn.sheet.lattice.count, 0);
    sheets_release(&others);
    fixture_sheet_release(&drawn);
}

static void a_region_far_larger_than_the_others_is_dropped(void **state)
{
    struct fixture_sheet drawn;
    struct sheets others = {0};
    struct region *odd;

    (void)state;
    draw(&drawn);
    odd = &drawn.sheet.lattice.nodes[8].region;
    odd->xx *= 3;
    odd->yy *= 3;
    clean(&drawn, &others);
    assert_int_equal(drawn.sheet.lattice.count, 23);
    assert_int_equal(drawn.sheet.lattice.lines[AXIS_COLUMN], 6);
    sheets_release(&others);
    fixture_sheet_release(&drawn);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_clean_sheet_stays_as_it_is),
        cmocka_unit_test(a_column_that_one_stray_region_holds_is_taken_off),
        cmocka_unit_test(a_sheet_is_cut_where_the_desk_shows_between_its_columns),
        cmocka_unit_test(a_lattice_over_the_card_is_no_chart),
        cmocka_unit_test(a_region_far_larger_than_the_others_is_dropped),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
