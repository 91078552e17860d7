#include "lattice_fixture.h"

#include "location/sheet.h"

#include <math.h>

static const struct drawing_grid grid = {
    {{{100, 100}, {420, 150}, {390, 350}, {80, 300}}}, 6, 4, 0.7};

static struct sheet sheet_drawn(struct lattice_node nodes[FIXTURE_NODES])
{
    struct sheet sheet = {.lattice = fixture_lattice(&grid, nodes)};
    struct error error = {0};

    assert_int_equal(sheet_fit(&sheet, &error), STATUS_OK);
    return sheet;
}

/* The nodes are the test's. */
static void release(struct sheet *sheet)
{
    sheet->lattice.nodes = NULL;
    sheet_release(sheet);
}

static void a_cell_has_its_own_box_however_the_sheet_is_seen(void **state)
{
    struct lattice_node nodes[FIXTURE_NODES];
    struct sheet sheet = sheet_drawn(nodes);

    (void)state;
    for (size_t i = 0; i < sheet.lattice.count; i++) {
        struct cell_box box = sheet_cell_box(&sheet, &nodes[i]);
        struct quad outline = sheet_cell_outline(&sheet, &box);
        struct quad drawn = drawing_cell(&grid, nodes[i].at[AXIS_ROW], nodes[i].at[AXIS_COLUMN]);

        drawing_assert_near(box.half[AXIS_COLUMN], grid.fill / 2, 0.01);
        drawing_assert_near(box.half[AXIS_ROW], grid.fill / 2, 0.01);
        drawing_assert_near(point_distance(box.middle, lattice_node_middle(&nodes[i])), 0, 0.02);
        for (int j = 0; j < 4; j++)
            drawing_assert_near(point_distance(outline.corner[j], drawn.corner[j]), 0, 1);
    }
    release(&sheet);
}

static void a_cell_wider_than_high_is_told_from_one_higher_than_wide(void **state)
{
    struct lattice_node nodes[FIXTURE_NODES];
    struct sheet sheet = sheet_drawn(nodes);
    struct quad wide = drawing_part(&grid, (struct point){2.1, 1.3}, (struct point){2.9, 1.7});
    struct lattice_node node = {{2, 1}, fixture_region(&wide)};
    struct cell_box box = sheet_cell_box(&sheet, &node);

    (void)state;
    drawing_assert_near(box.half[AXIS_COLUMN], 0.4, 0.01);
    drawing_assert_near(box.half[AXIS_ROW], 0.2, 0.01);
    release(&sheet);
}

static void the_usual_box_is_not_moved_by_two_odd_regions(void **state)
{
    struct lattice_node nodes[FIXTURE_NODES];
    struct sheet sheet = sheet_drawn(nodes);
    struct cell_box odd;
    struct error error = {0};

    (void)state;
    for (int i = 3; i < 5; i++) { /* half as wide and high */
        nodes[i].region.xx /= 4;
        nodes[i].region.xy /= 4;
        nodes[i].region.yy /= 4;
    }
    assert_int_equal(sheet_fit(&sheet, &error), STATUS_OK);
    drawing_assert_near(sheet.usual.half[AXIS_COLUMN], grid.fill / 2, 0.01);
    drawing_assert_near(sheet.usual.half[AXIS_ROW], grid.fill / 2, 0.01);
    odd = sheet_cell_box(&sheet, &nodes[3]);
    assert_false(sheet_cell_is_usual(&sheet, &odd));
    odd = sheet_cell_box(&sheet, &nodes[7]);
    assert_true(sheet_cell_is_usual(&sheet, &odd));
    release(&sheet);
}

/* A title or a ruler is of another shape than a cell, though one of its sides may be alike. */
static void a_box_is_not_usual_by_one_of_its_sides_alone(void **state)
{
    const struct sheet sheet = {.usual = {{0, 0}, {0.4, 0.3}}};

    (void)state;
    for (enum axis axis = AXIS_COLUMN; axis < AXES; axis++) {
        struct cell_box box = sheet.usual;

        assert_true(sheet_cell_is_usual(&sheet, &box));
        box.half[axis] *= 0.5;
        assert_false(sheet_cell_is_usual(&sheet, &box));
        box.half[axis] *= 3;
        assert_false(sheet_cell_is_usual(&sheet, &box));
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_cell_has_its_own_box_however_the_sheet_is_seen),
        cmocka_unit_test(a_cell_wider_than_high_is_told_from_one_higher_than_wide),
        cmocka_unit_test(the_usual_box_is_not_moved_by_two_odd_regions),
        cmocka_unit_test(a_box_is_not_usual_by_one_of_its_sides_alone),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
