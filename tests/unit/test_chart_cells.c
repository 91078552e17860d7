#include "sheet_fixture.h"

#include "location/chart_cells.h"

#define FRAMED 5 /* the cell with something drawn about it */

static const struct drawing_grid grid = {{{{60, 60}, {460, 62}, {458, 362}, {59, 360}}}, 4, 3, 0.6};
static const struct lab blue = {35, 10, -35}, pale = {86, -6, 10};

static double off_by(const struct quad *seen, const struct quad *drawn)
{
    double off = 0;

    for (int i = 0; i < 4; i++)
        off = fmax(off, point_distance(seen->corner[i], drawn->corner[i]));
    return off;
}

static void place(struct fixture_sheet *drawn, struct chart_pose *pose)
{
    struct error error = {0};

    *pose = (struct chart_pose){.rows = grid.rows, .columns = grid.columns};
    drawing_blur(&drawn->photo, 0.8);
    assert_int_equal(chart_cells_place(&drawn->sheet, &(struct chart_lay){0}, pose, &error),
                     STATUS_OK);
}

static void draw(int unlike, struct lab ink, struct fixture_sheet *drawn)
{
    fixture_sheet_draw(&grid, drawing_paper, fixture_plain, drawn);
    for (int i = 0; i < grid.columns * grid.rows; i++)
        fixture_sheet_ink(drawn, i / grid.columns, i % grid.columns,
                          drawing_colour(i == unlike ? ink : blue));
    fixture_sheet_know(drawn, grid.columns, grid.rows);
}

static void cells_are_outlined_by_their_own_edges_and_the_chart_by_its_corners(void **state)
{
    struct quad corners = drawing_corners(&grid);
    struct fixture_sheet drawn;
    struct chart_pose pose;

    (void)state;
    draw(-1, blue, &drawn);
    place(&drawn, &pose);
    for (int i = 0; i < grid.columns * grid.rows; i++) {
        struct quad cell = drawing_cell(&grid, i / grid.columns, i % grid.columns);

        assert_true(pose.seen[i]);
        assert_true(off_by(&pose.outline[i], &cell) < 1);
    }
    assert_true(off_by(&pose.corners, &corners) < 1);
    chart_pose_release(&pose);
    fixture_sheet_release(&drawn);
}

static void a_cell_that_was_not_seen_lies_where_the_others_say(void **state)
{
    struct quad cell = drawing_cell(&grid, 2, 3);
    struct fixture_sheet drawn;
    struct error error = {0};
    struct chart_pose pose;

    (void)state;
    draw(-1, blue, &drawn);
    drawn.sheet.lattice.count--; /* the last one */
    assert_int_equal(sheet_fit(&drawn.sheet, &error), STATUS_OK);
    place(&drawn, &pose);
    assert_false(pose.seen[11]);
    assert_true(off_by(&pose.outline[11], &cell) < 2);
    chart_pose_release(&pose);
    fixture_sheet_release(&drawn);
}

/* Around a pale swatch a frame is drawn, whose edges are stronger than the ink's: the region and
 * its edges are the frame's. */
static void a_pale_cell_is_outlined_as_those_like_it_though_a_frame_is_drawn_about_it(void **state)
{
    const struct drawing_grid frame = {grid.outer, 4, 3, 0.84}, inside = {grid.outer, 4, 3, 0.81};
    struct quad outer = drawing_cell(&frame, FRAMED / 4, FRAMED % 4);
    struct quad inner = drawing_cell(&inside, FRAMED / 4, FRAMED % 4);
    struct quad cell = drawing_cell(&grid, FRAMED / 4, FRAMED % 4);
    struct fixture_sheet drawn;
    struct chart_pose pose;

    (void)state;
    draw(FRAMED, pale, &drawn);
    drawing_quad(&drawn.photo, &outer, drawing_frame);
    drawing_quad(&drawn.photo, &inner, drawing_paper);
    drawing_quad(&drawn.photo, &cell, drawing_colour(pale));
    drawn.sheet.lattice.nodes[FRAMED].region = fixture_region(&outer);
    place(&drawn, &pose);
    assert_true(off_by(&pose.outline[FRAMED], &cell) < 2.5);
    chart_pose_release(&pose);
    fixture_sheet_release(&drawn);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(cells_are_outlined_by_their_own_edges_and_the_chart_by_its_corners),
        cmocka_unit_test(a_cell_that_was_not_seen_lies_where_the_others_say),
        cmocka_unit_test(a_pale_cell_is_outlined_as_those_like_it_though_a_frame_is_drawn_about_it),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
