#include "sheet_fixture.h"

#include "location/sheet_paper.h"

/* 4 x 3 cells, seen a little askew. */
static const struct drawing_grid grid = {{{{60, 60}, {460, 75}, {455, 375}, {58, 365}}}, 4, 3, 0.7};
static const struct rgb dim_light = {{0.5, 0.5, 0.5}}, felt = {{0.6, 0.5, 0.1}};
static const struct lab blue = {35, 10, -35}, pale = {84, -12, 8}, yellow = {88, -4, 30};

#define BLANK 8 /* the cell that holds no ink */

/* A sheet with one cell left blank. */
static void draw(struct lab ink, struct rgb paper, struct rgb light, struct fixture_sheet *drawn)
{
    fixture_sheet_draw(&grid, paper, light, drawn);
    for (int i = 0; i < grid.columns * grid.rows; i++)
        if (i != BLANK)
            fixture_sheet_ink(drawn, i / grid.columns, i % grid.columns,
                              drawing_lit(drawing_colour(ink), light));
    fixture_sheet_know(drawn, grid.columns, grid.rows);
}

static void ink_is_told_from_a_blank_cell_in_any_light(void **state)
{
    const struct lab inks[] = {blue, pale, yellow};

    (void)state;
    for (int i = 0; i < 6; i++) {
        struct fixture_sheet drawn;

        draw(inks[i % 3], drawing_paper, i < 3 ? fixture_plain : dim_light, &drawn);
        for (int cell = 0; cell < grid.columns * grid.rows; cell++)
            assert_int_equal(sheet_ink(&drawn.sheet, cell % grid.columns, cell / grid.columns),
                             cell == BLANK ? INK_NONE : INK_SEEN);
        fixture_sheet_release(&drawn);
    }
}

static void what_lies_off_the_photo_is_not_called_blank(void **state)
{
    struct fixture_sheet drawn;

    (void)state;
    draw(blue, drawing_paper, fixture_plain, &drawn);
    assert_int_equal(sheet_ink(&drawn.sheet, -3, 1), INK_UNSURE);
    fixture_sheet_release(&drawn);
}

/* A label or a drawn line may stand in one of the gaps at its corners. */
static void a_label_in_a_gap_does_not_hide_that_a_cell_is_blank(void **state)
{
    struct quad label = drawing_part(&grid, (struct point){0.85, 1.85}, (struct point){1.15, 2.15});
    struct fixture_sheet drawn;

    (void)state;
    draw(blue, drawing_paper, fixture_plain, &drawn);
    drawing_quad(&drawn.photo, &label, drawing_frame);
    assert_int_equal(sheet_ink(&drawn.sheet, 0, 2), INK_NONE);
    assert_int_equal(sheet_ink(&drawn.sheet, 1, 1), INK_SEEN);
    fixture_sheet_release(&drawn);
}

static void a_region_is_ink_if_paper_lies_around_it(void **state)
{
    struct fixture_sheet drawn;

    (void)state;
    draw(pale, drawing_paper, fixture_plain, &drawn);
    assert_true(sheet_region_is_ink(&drawn.photo, &drawn.sheet.lattice.nodes[0].region));
    assert_false(sheet_region_is_ink(&drawn.photo, &drawn.sheet.lattice.nodes[BLANK].region));
    fixture_sheet_release(&drawn);
}

static size_t kept_of_sheet(struct rgb light, struct rgb ground)
{
    struct fixture_sheet drawn;
    struct error error = {0};
    size_t kept;

    draw(blue, ground, light, &drawn);
    assert_int_equal(sheet_keep_on_paper(&drawn.sheet, &error), STATUS_OK);
    kept = drawn.sheet.lattice.count;
    fixture_sheet_release(&drawn);
    return kept;
}

static void cells_on_paper_stay_and_squares_on_the_desk_go(void **state)
{
    (void)state;
    assert_int_equal(kept_of_sheet(fixture_plain, drawing_paper), 12);
    assert_int_equal(kept_of_sheet(dim_light, drawing_paper), 12);
    assert_int_equal(kept_of_sheet(fixture_plain, drawing_desk), 0);
    assert_int_equal(kept_of_sheet(fixture_plain, felt), 0);
}

/* What lies between two cells of a sheet whose cells stand wide apart, with a strip over the gap
 * from side to side. */
static enum paper_between between(struct rgb strip)
{
    const struct drawing_grid wide = {grid.outer, 4, 3, 0.5};
    struct quad gap = drawing_part(&wide, (struct point){0.78, 0}, (struct point){1.22, 3});
    struct fixture_sheet drawn;
    const struct lattice_node *nodes;
    enum paper_between seen;

    fixture_sheet_draw(&wide, drawing_paper, fixture_plain, &drawn);
    fixture_sheet_ink_all(&drawn, drawing_colour(blue));
    fixture_sheet_know(&drawn, wide.columns, wide.rows);
    drawing_quad(&drawn.photo, &gap, strip);
    nodes = drawn.sheet.lattice.nodes;
    seen = sheet_paper_between(&drawn.sheet, nodes[4].region.centre, nodes[5].region.centre);
    fixture_sheet_release(&drawn);
    return seen;
}

static void paper_goes_on_between_cells_but_not_over_a_desk_or_in_doubt_a_shadow(void **state)
{
    (void)state;
    assert_int_equal(between(drawing_paper), PAPER_GOES_ON);
    assert_int_equal(between(drawing_lit(drawing_paper, (struct rgb){{0.9, 0.9, 0.9}})),
                     PAPER_GOES_ON);
    assert_int_equal(between(drawing_lit(drawing_paper, dim_light)), PAPER_IN_SHADOW);
    assert_int_equal(between(drawing_desk), PAPER_PARTED);
    assert_int_equal(between(felt), PAPER_PARTED);
}

static void paper_lies_around_a_cell_but_not_around_a_place_on_the_desk(void **state)
{
    struct fixture_sheet drawn;
    const struct lattice_node *node;

    (void)state;
    draw(blue, drawing_paper, fixture_plain, &drawn);
    node = &drawn.sheet.lattice.nodes[5];
    assert_true(sheet_paper_around(&drawn.sheet, node, &drawn.sheet.usual, node->region.centre));
    assert_false(
        sheet_paper_around(&drawn.sheet, node, &drawn.sheet.usual, (struct point){570, 300}));
    fixture_sheet_release(&drawn);
}

/* Cells that touch, of which the sheet knows only some columns. */
static void a_sheet_of_cells_that_touch_goes_on_where_ink_does(void **state)
{
    const struct drawing_grid touching = {grid.outer, 4, 3, 1};
    struct fixture_sheet drawn;

    (void)state;
    fixture_sheet_draw(&touching, drawing_paper, fixture_plain, &drawn);
    fixture_sheet_ink_all(&drawn, drawing_colour(blue));
    fixture_sheet_know(&drawn, 3, 3);
    assert_true(sheet_ink_goes_on(&drawn.sheet, 3, 1));
    assert_false(sheet_ink_goes_on(&drawn.sheet, 4, 1)); /* the paper's rim lies before it */
    assert_false(sheet_ink_goes_on(&drawn.sheet, -1, 1));
    fixture_sheet_release(&drawn);
}

/* Columns 2 and 3 are not known; only one of them is hatched. */
static void a_hatched_cell_is_told_from_bare_paper_and_from_lettering(void **state)
{
    struct quad word = drawing_part(&grid, (struct point){2.2, 1.4}, (struct point){2.8, 1.5});
    struct fixture_sheet drawn;
    double tint[2];

    (void)state;
    fixture_sheet_draw(&grid, drawing_paper, fixture_plain, &drawn);
    for (int row = 0; row < 3; row++)
        for (int column = 0; column < 2; column++)
            fixture_sheet_ink(&drawn, row, column, drawing_colour(blue));
    fixture_sheet_hatch(&drawn, 0, 2, 7, drawing_colour(pale));
    drawing_quad(&drawn.photo, &word, drawing_frame);
    fixture_sheet_know(&drawn, 2, 3);
    assert_true(sheet_hatched(&drawn.sheet, 2, 0, tint));
    assert_false(sheet_hatched(&drawn.sheet, 2, 1, tint));
    assert_false(sheet_hatched(&drawn.sheet, 2, 2, tint));
    assert_false(sheet_hatched(&drawn.sheet, -1, 1, tint)); /* the desk lies around it */
    fixture_sheet_release(&drawn);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(ink_is_told_from_a_blank_cell_in_any_light),
        cmocka_unit_test(what_lies_off_the_photo_is_not_called_blank),
        cmocka_unit_test(a_label_in_a_gap_does_not_hide_that_a_cell_is_blank),
        cmocka_unit_test(a_region_is_ink_if_paper_lies_around_it),
        cmocka_unit_test(cells_on_paper_stay_and_squares_on_the_desk_go),
        cmocka_unit_test(paper_goes_on_between_cells_but_not_over_a_desk_or_in_doubt_a_shadow),
        cmocka_unit_test(paper_lies_around_a_cell_but_not_around_a_place_on_the_desk),
        cmocka_unit_test(a_sheet_of_cells_that_touch_goes_on_where_ink_does),
        cmocka_unit_test(a_hatched_cell_is_told_from_bare_paper_and_from_lettering),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
