#include "sheet_fixture.h"

/* 5 x 4 cells; the last one of the second row is left blank. */
static const struct drawing_grid grid = {{{{40, 60}, {540, 70}, {535, 470}, {42, 462}}}, 5, 4, 0.7};
static const struct lab blue = {35, 10, -35};

#define BLANK 9

static int from_left_to_right(const void *a, const void *b)
{
    double left = ((const struct region *)a)->centre.x,
           right = ((const struct region *)b)->centre.x;

    return (left > right) - (left < right);
}

static void draw(struct fixture_sheet *drawn)
{
    fixture_sheet_draw(&grid, drawing_paper, fixture_plain, drawn);
    for (int i = 0; i < grid.columns * grid.rows; i++)
        if (i != BLANK)
            fixture_sheet_ink(drawn, i / grid.columns, i % grid.columns, drawing_colour(blue));
    drawing_blur(&drawn->photo, 0.8);
    qsort(drawn->regions.items, drawn->regions.count, sizeof *drawn->regions.items,
          from_left_to_right);
}

/* What is found of a chart as it is told to be; `rows` 0: not told. */
static enum status find(const struct fixture_sheet *drawn, const struct chart_wanted *wanted,
                        struct chart_poses *charts, struct error *error)
{
    memset(charts, 0, sizeof *charts);
    return chart_pose_find(&drawn->view, wanted, charts, error);
}

static void release(struct chart_poses *charts)
{
    for (int i = 0; i < charts->count; i++)
        chart_pose_release(&charts->items[i]);
}

static void a_chart_is_found_with_its_blank_cell_placed_among_the_others(void **state)
{
    struct quad blank = drawing_cell(&grid, BLANK / 5, BLANK % 5);
    struct fixture_sheet drawn;
    struct chart_poses charts;
    struct error error = {0};
    const struct chart_pose *pose = &charts.items[0];

    (void)state;
    draw(&drawn);
    assert_int_equal(find(&drawn, &(struct chart_wanted){0}, &charts, &error), STATUS_OK);
    assert_int_equal(charts.count, 1);
    assert_int_equal(pose->rows, 4);
    assert_int_equal(pose->columns, 5);
    assert_int_equal(pose->number, 1);
    assert_false(pose->seen[BLANK]);
    drawing_assert_near(point_distance(quad_centre(&pose->outline[BLANK]), quad_centre(&blank)), 0,
                        2);
    release(&charts);
    fixture_sheet_release(&drawn);
}

/* Names whose blank cell lies where a sheet half a turn on would have it. */
static void a_sheet_is_turned_as_its_names_lie(void **state)
{
    bool named[20];
    const struct chart_wanted wanted = {4, 5, named, 0, false, false, 0};
    struct fixture_sheet drawn;
    struct chart_poses charts;
    struct error error = {0};

    (void)state;
    draw(&drawn);
    for (int i = 0; i < 20; i++)
        named[i] = i != 19 - BLANK;
    assert_int_equal(find(&drawn, &wanted, &charts, &error), STATUS_OK);
    assert_false(charts.items[0].seen[19 - BLANK]);
    assert_true(charts.items[0].seen[BLANK]);
    assert_true(charts.items[0].corners.corner[0].x > charts.items[0].corners.corner[2].x);
    release(&charts);
    fixture_sheet_release(&drawn);
}

static void another_count_of_rows_and_a_chart_that_is_not_there_are_refused(void **state)
{
    struct fixture_sheet drawn;
    struct chart_poses charts;
    struct error error = {0};

    (void)state;
    draw(&drawn);
    assert_int_equal(
        find(&drawn, &(struct chart_wanted){5, 5, NULL, 0, false, false, 0}, &charts, &error),
        STATUS_NOT_FOUND);
    drawing_assert_helpful(&error, "4 rows x 5 columns", "check --names");
    release(&charts);
    assert_int_equal(find(&drawn, &(struct chart_wanted){.number = 2}, &charts, &error),
                     STATUS_NOT_FOUND);
    drawing_assert_helpful(&error, "chart number 2", "from the left");
    release(&charts);
    fixture_sheet_release(&drawn);
}

static void squares_on_the_desk_are_no_chart(void **state)
{
    struct fixture_sheet drawn;
    struct chart_poses charts;
    struct error error = {0};

    (void)state;
    draw(&drawn);
    drawing_fill(&drawn.photo, drawing_desk);
    drawing_quad(&drawn.photo, &fixture_white, (struct rgb){{0.9, 0.9, 0.9}});
    assert_int_equal(find(&drawn, &(struct chart_wanted){0}, &charts, &error), STATUS_NOT_FOUND);
    drawing_assert_helpful(&error, "no chart", "--chart-at");
    fixture_sheet_release(&drawn);
}

static void a_chart_given_by_its_corners_has_its_cells_between_them(void **state)
{
    const struct quad corners = drawing_upright(100, 100, 300, 200);
    struct fixture_sheet drawn;
    struct chart_pose pose = {0};
    struct error error = {0};

    (void)state;
    draw(&drawn);
    assert_int_equal(
        chart_pose_from_corners(&drawn.view, &corners, &(struct chart_wanted){0}, &pose, &error),
        STATUS_USAGE);
    assert_int_equal(chart_pose_from_corners(&drawn.view, &corners,
                                             &(struct chart_wanted){.rows = 2, .columns = 3}, &pose,
                                             &error),
                     STATUS_OK);
    assert_true(pose.given);
    for (int i = 0; i < 4; i++)
        drawing_assert_near(point_distance(pose.corners.corner[i], corners.corner[i]), 0, 0.01);
    drawing_assert_near(quad_centre(&pose.outline[1]).x, 250, 0.01);
    chart_pose_release(&pose);
    fixture_sheet_release(&drawn);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_chart_is_found_with_its_blank_cell_placed_among_the_others),
        cmocka_unit_test(a_sheet_is_turned_as_its_names_lie),
        cmocka_unit_test(another_count_of_rows_and_a_chart_that_is_not_there_are_refused),
        cmocka_unit_test(squares_on_the_desk_are_no_chart),
        cmocka_unit_test(a_chart_given_by_its_corners_has_its_cells_between_them),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
