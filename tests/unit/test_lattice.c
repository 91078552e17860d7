#include "drawing.h"

#include "values/linear.h"
#include "vision/lattice.h"

#define REGIONS_MAX 400
#define PITCH 50.0

/* --- regions laid by hand ------------------------------------------------------------------- */

/* Regions with the grid each belongs to and its place there, as the test laid them. */
struct scene {
    struct region items[REGIONS_MAX];
    int grid[REGIONS_MAX], column[REGIONS_MAX], row[REGIONS_MAX];
    size_t count;
};

static struct region square_region(struct point centre, double side)
{
    double variance = side * side / 12;

    return (struct region){centre, side * side, variance, 0, variance, 0.955};
}

/* Insert a region where its x belongs: lattices want them from left to right. */
static void put(struct scene *scene, struct region region, int grid, int column, int row)
{
    size_t i = scene->count++;

    assert_true(i < REGIONS_MAX);
    for (; i > 0 && scene->items[i - 1].centre.x > region.centre.x; i--) {
        scene->items[i] = scene->items[i - 1];
        scene->grid[i] = scene->grid[i - 1];
        scene->column[i] = scene->column[i - 1];
        scene->row[i] = scene->row[i - 1];
    }
    scene->items[i] = region;
    scene->grid[i] = grid;
    scene->column[i] = column;
    scene->row[i] = row;
}

static bool none_missing(int column, int row)
{
    (void)column;
    (void)row;
    return false;
}

/* Lay a grid of squares that fill `fill` of their pitch. */
static void lay(struct scene *scene, const struct drawing_grid *grid, int number,
                bool (*missing)(int column, int row))
{
    for (int row = 0; row < grid->rows; row++)
        for (int column = 0; column < grid->columns; column++) {
            struct quad cell = drawing_cell(grid, row, column);
            struct quad part = drawing_part(grid, (struct point){column + 0.5, row + 0.5},
                                            (struct point){column + 1, row + 1});

            if (!missing(column, row))
                put(scene, square_region(part.corner[0], sqrt(quad_area(&cell))), number, column,
                    row);
        }
}

static struct drawing_grid grid_at(double left, double top, int columns, int rows)
{
    return (struct drawing_grid){drawing_upright(left, top, columns * PITCH, rows * PITCH), columns,
                                 rows, 0.8};
}

/* --- looking -------------------------------------------------------------------------------- */

static struct lattices find(struct scene *scene)
{
    struct regions regions = {scene->items, scene->count, REGIONS_MAX};
    struct lattices lattices = {0};
    struct error error = {0};

    if (lattice_find_all(&regions, &lattices, &error))
        fail_msg("%s", error.message);
    return lattices;
}

static size_t region_of(const struct scene *scene, const struct lattice_node *node)
{
    for (size_t i = 0; i < scene->count; i++)
        if (!memcmp(&scene->items[i], &node->region, sizeof node->region))
            return i;
    fail_msg("a node's region was not laid");
    return 0;
}

static const struct lattice_node *node_of(const struct lattice *lattice, const struct scene *scene,
                                          int grid, int column, int row)
{
    for (size_t i = 0; i < lattice->count; i++) {
        size_t region = region_of(scene, &lattice->nodes[i]);

        if (scene->grid[region] == grid && scene->column[region] == column &&
            scene->row[region] == row)
            return &lattice->nodes[i];
    }
    return NULL;
}

/* How many regions of one grid a lattice holds, each step of the grid the same whole step of the
 * lattice; 0 if the first three do not tell the steps. */
static size_t held(const struct lattice *lattice, const struct scene *scene, int grid)
{
    const struct lattice_node *first = node_of(lattice, scene, grid, 0, 0);
    const struct lattice_node *right = node_of(lattice, scene, grid, 1, 0);
    const struct lattice_node *below = node_of(lattice, scene, grid, 0, 1);
    int across[2], down[2];
    size_t count = 0;

    if (!first || !right || !below)
        return 0;
    across[0] = right->at[AXIS_COLUMN] - first->at[AXIS_COLUMN],
    across[1] = right->at[AXIS_ROW] - first->at[AXIS_ROW];
    down[0] = below->at[AXIS_COLUMN] - first->at[AXIS_COLUMN],
    down[1] = below->at[AXIS_ROW] - first->at[AXIS_ROW];
    if (across[0] * down[1] - across[1] * down[0] != 1)
        return 0;
    for (size_t i = 0; i < lattice->count; i++) {
        const struct lattice_node *node = &lattice->nodes[i];
        size_t region = region_of(scene, node);
        int c = scene->column[region], r = scene->row[region];

        count += scene->grid[region] == grid &&
                 node->at[AXIS_COLUMN] == first->at[AXIS_COLUMN] + c * across[0] + r * down[0] &&
                 node->at[AXIS_ROW] == first->at[AXIS_ROW] + c * across[1] + r * down[1];
    }
    return count;
}

static size_t regions_of(const struct scene *scene, int grid)
{
    size_t count = 0;

    for (size_t i = 0; i < scene->count; i++)
        count += scene->grid[i] == grid;
    return count;
}

/* Whether a lattice is all of one grid. */
static bool holds(const struct lattice *lattice, const struct scene *scene, int grid)
{
    return held(lattice, scene, grid) == regions_of(scene, grid);
}

static bool any_holds(const struct lattices *lattices, const struct scene *scene, int grid,
                      size_t but)
{
    for (size_t i = 0; i < lattices->count; i++)
        if (held(&lattices->items[i], scene, grid) + but >= regions_of(scene, grid))
            return true;
    return false;
}

/* The scene is one grid: it must come first, whole and with nothing else. */
static void assert_found(struct scene *scene, int columns, int rows)
{
    struct lattices lattices = find(scene);

    assert_true(lattices.count > 0);
    assert_true(holds(&lattices.items[0], scene, 0));
    assert_int_equal(lattices.items[0].count, scene->count);
    assert_int_equal(lattices.items[0].lines[AXIS_COLUMN] * lattices.items[0].lines[AXIS_ROW],
                     columns * rows);
    lattices_release(&lattices);
}

/* --- grids that are found ------------------------------------------------------------------- */

static void a_grid_is_found_whole_with_rows_and_columns_as_they_lie(void **state)
{
    struct drawing_grid grid = grid_at(100, 60, 6, 4);
    struct scene scene = {.count = 0};
    struct lattices lattices;

    (void)state;
    lay(&scene, &grid, 0, none_missing);
    lattices = find(&scene);
    assert_int_equal(lattices.count, 1);
    assert_int_equal(lattices.items[0].count, 24);
    assert_int_equal(lattices.items[0].lines[AXIS_COLUMN], 6);
    assert_int_equal(lattices.items[0].lines[AXIS_ROW], 4);
    for (int row = 0; row < 4; row++)
        for (int column = 0; column < 6; column++) {
            struct quad cell = homography_cell(&lattices.items[0].map, row, column);
            const struct lattice_node *node = node_of(&lattices.items[0], &scene, 0, column, row);

            assert_int_equal(node->at[AXIS_COLUMN], column);
            assert_int_equal(node->at[AXIS_ROW], row);
            assert_true(point_distance(quad_centre(&cell), node->region.centre) < 0.5);
            drawing_assert_near(quad_area(&cell), PITCH * PITCH, 40);
        }
    lattices_release(&lattices);
}

static void grids_of_2_x_3_to_10_x_12_are_found(void **state)
{
    (void)state;
    for (int columns = 2; columns <= 10; columns += 2)
        for (int rows = 3; rows <= 12; rows += 3) {
            struct drawing_grid grid = grid_at(20, 20, columns, rows);
            struct scene scene = {.count = 0};

            lay(&scene, &grid, 0, none_missing);
            assert_found(&scene, columns, rows);
        }
}

static void cells_up_to_two_and_a_half_times_as_wide_as_high_are_found(void **state)
{
    (void)state;
    for (int width = 60; width <= 100; width += 10)
        for (int turned = 0; turned < 2; turned++) {
            int height = 40;
            struct drawing_grid wide = {drawing_upright(40, 40, 5 * width, 6 * height), 5, 6, 0.92};
            struct drawing_grid high = {drawing_upright(40, 40, 5 * height, 6 * width), 5, 6, 0.92};
            struct scene scene = {.count = 0};

            lay(&scene, turned ? &high : &wide, 0, none_missing);
            assert_found(&scene, 5, 6);
        }
}

/* A card 20 cm wide from half a metre, and a sheet that fills the photo. */
static void a_grid_tilted_by_35_degrees_any_way_is_found(void **state)
{
    (void)state;
    for (int axis = 0; axis < 360; axis += 20) {
        struct drawing_view card = {{500, 400}, 300, 200, 35, axis, 750};
        struct drawing_view sheet = {{500, 400}, 560, 700, 35, axis, 1100};
        struct drawing_grid card_grid = {drawing_tilted(&card), 6, 4, 0.85};
        struct drawing_grid sheet_grid = {drawing_tilted(&sheet), 7, 9, 0.8};
        struct scene scene = {.count = 0}, other = {.count = 0};

        lay(&scene, &card_grid, 0, none_missing);
        assert_found(&scene, 6, 4);
        lay(&other, &sheet_grid, 0, none_missing);
        assert_found(&other, 7, 9);
    }
}

static void a_grid_is_found_in_every_turn_and_never_mirrored(void **state)
{
    (void)state;
    for (int degrees = 0; degrees < 360; degrees += 15) {
        struct drawing_grid grid = grid_at(100, 100, 6, 4);
        struct scene scene = {.count = 0};
        struct lattices lattices;
        struct quad cell;

        grid.outer = drawing_rotated(&grid.outer, degrees);
        lay(&scene, &grid, 0, none_missing);
        assert_found(&scene, 6, 4);
        lattices = find(&scene);
        cell = homography_cell(&lattices.items[0].map, 0, 0);
        assert_true(quad_is_convex(&cell));
        lattices_release(&lattices);
    }
}

static bool a_fifth_is_missing(int column, int row)
{
    return (column * 3 + row * 7) % 5 == 1;
}

static bool a_hole_is_missing(int column, int row)
{
    return column >= 2 && column <= 3 && row >= 2 && row <= 3;
}

static bool a_column_is_missing(int column, int row)
{
    (void)row;
    return column == 3;
}

static bool two_rows_are_missing(int column, int row)
{
    (void)column;
    return row == 3 || row == 4;
}

static void missing_cells_are_stepped_over(void **state)
{
    static bool (*const missing[])(int, int) = {a_fifth_is_missing, a_hole_is_missing,
                                                a_column_is_missing, two_rows_are_missing};

    (void)state;
    for (int i = 0; i < 4; i++)
        for (int degrees = 0; degrees <= 45; degrees += 45) {
            struct drawing_grid grid = grid_at(100, 100, 7, 8);
            struct scene scene = {.count = 0};

            grid.outer = drawing_rotated(&grid.outer, degrees);
            lay(&scene, &grid, 0, missing[i]);
            assert_found(&scene, 7, 8);
        }
}

/* A sheet that sags: its rows bend by more than a cell over its width. */
static void a_curved_grid_is_followed(void **state)
{
    struct drawing_grid grid = grid_at(60, 60, 10, 7);
    struct scene flat = {.count = 0}, curved = {.count = 0};

    (void)state;
    lay(&flat, &grid, 0, none_missing);
    for (size_t i = 0; i < flat.count; i++) {
        struct region region = flat.items[i];
        double across = (region.centre.x - 310) / 250;

        region.centre.y += 70 * across * across;
        put(&curved, region, 0, flat.column[i], flat.row[i]);
    }
    assert_found(&curved, 10, 7);
}

static void places_a_twentieth_of_the_pitch_off_are_forgiven(void **state)
{
    struct drawing_grid grid = grid_at(60, 60, 8, 6);

    (void)state;
    for (unsigned number = 0; number < 20; number++) {
        struct scene even = {.count = 0}, uneven = {.count = 0};
        uint32_t seed = drawing_seed(number);

        lay(&even, &grid, 0, none_missing);
        for (size_t i = 0; i < even.count; i++) {
            struct region region = even.items[i];

            region.centre.x += 0.1 * PITCH * (drawing_random(&seed) - 0.5);
            region.centre.y += 0.1 * PITCH * (drawing_random(&seed) - 0.5);
            put(&uneven, region, 0, even.column[i], even.row[i]);
        }
        assert_found(&uneven, 8, 6);
    }
}

/* --- several grids -------------------------------------------------------------------------- */

static void two_grids_apart_are_both_found_the_larger_first(void **state)
{
    struct drawing_grid card = {drawing_upright(40, 40, 180, 120), 6, 4, 0.8};
    struct drawing_grid chart = grid_at(300, 40, 5, 6);
    struct scene scene = {.count = 0};
    struct lattices lattices;

    (void)state;
    lay(&scene, &card, 0, none_missing);
    lay(&scene, &chart, 1, none_missing);
    lattices = find(&scene);
    assert_int_equal(lattices.count, 2);
    assert_true(holds(&lattices.items[0], &scene, 1));
    assert_true(holds(&lattices.items[1], &scene, 0));
    lattices_release(&lattices);
}

/* The card lies right beside the sheet, its rows half in step with the sheet's: the lattice of one
 * runs on into the other, which may cost the card a patch or two at its rim. */
static void two_grids_that_run_into_each_other_are_both_found(void **state)
{
    static const double pitches[] = {42, 46, 54, 60};

    (void)state;
    for (int i = 0; i < 4; i++)
        for (int degrees = -6; degrees <= 6; degrees += 6) {
            double pitch = pitches[i];
            struct drawing_grid chart = grid_at(60, 60, 6, 8);
            struct drawing_grid card = {drawing_upright(366, 120, 6 * pitch, 4 * pitch), 6, 4, 0.8};
            struct scene scene = {.count = 0};
            struct lattices lattices;

            card.outer = drawing_rotated(&card.outer, degrees);
            lay(&scene, &chart, 0, none_missing);
            lay(&scene, &card, 1, none_missing);
            lattices = find(&scene);
            if (!any_holds(&lattices, &scene, 0, 0) || !any_holds(&lattices, &scene, 1, 2))
                fail_msg("pitch %g, turned by %d degrees: lost", pitch, degrees);
            lattices_release(&lattices);
        }
}

static void a_stray_square_beside_a_grid_is_left_out(void **state)
{
    struct drawing_grid grid = grid_at(100, 100, 6, 4);
    struct scene scene = {.count = 0};
    struct lattices lattices;

    (void)state;
    lay(&scene, &grid, 0, none_missing);
    put(&scene, square_region((struct point){100 + 6.9 * PITCH, 210}, 40), 1, 0, 0);
    put(&scene, square_region((struct point){60, 140}, 12), 1, 0, 0);
    lattices = find(&scene);
    assert_int_equal(lattices.count, 1);
    assert_int_equal(lattices.items[0].count, 24);
    assert_true(holds(&lattices.items[0], &scene, 0));
    lattices_release(&lattices);
}

/* --- no grid -------------------------------------------------------------------------------- */

/* Chance lays a few squares in rows in one picture of ten, but never enough for a card. */
static void random_squares_make_no_lattice_of_a_card_s_size(void **state)
{
    int found = 0;

    (void)state;
    for (unsigned number = 0; number < 200; number++) {
        uint32_t seed = drawing_seed(number);
        struct scene scene = {.count = 0};
        struct lattices lattices;

        for (int i = 0; i < 60; i++) {
            struct point at = {1000 * drawing_random(&seed), 750 * drawing_random(&seed)};

            put(&scene, square_region(at, 10 + 50 * drawing_random(&seed)), 0, i, 0);
        }
        lattices = find(&scene);
        found += lattices.count > 0;
        for (size_t i = 0; i < lattices.count; i++)
            if (lattices.items[i].count > 11)
                fail_msg("seed %u: %zu in rows", number, lattices.items[i].count);
        lattices_release(&lattices);
    }
    assert_in_range(found, 0, 20);
}

static void one_row_of_squares_is_no_lattice(void **state)
{
    struct drawing_grid grid = grid_at(100, 100, 12, 1);
    struct scene scene = {.count = 0};
    struct lattices lattices;

    (void)state;
    lay(&scene, &grid, 0, none_missing);
    lattices = find(&scene);
    assert_int_equal(lattices.count, 0);
    lattices_release(&lattices);
}

static void no_regions_make_no_lattice(void **state)
{
    struct scene scene = {.count = 0};
    struct lattices lattices = find(&scene);

    (void)state;
    assert_int_equal(lattices.count, 0);
    lattices_release(&lattices);
}

/* --- the map -------------------------------------------------------------------------------- */

static void fill_nodes(struct lattice_node nodes[24], const struct drawing_grid *grid)
{
    for (int i = 0; i < 24; i++) {
        struct quad cell = drawing_part(grid, (struct point){i % 6 + 0.5, i / 6 + 0.5},
                                        (struct point){i % 6 + 1, i / 6 + 1});

        nodes[i] = (struct lattice_node){{i % 6, i / 6}, square_region(cell.corner[0], 40)};
    }
}

static void two_nodes_far_off_do_not_bend_the_map(void **state)
{
    struct drawing_grid grid = {{{{100, 100}, {420, 120}, {400, 320}, {120, 300}}}, 6, 4, 0.8};
    struct lattice_node nodes[24];
    struct lattice lattice = {.nodes = nodes, .count = 24, .lines = {6, 4}};
    struct error error = {0};

    (void)state;
    fill_nodes(nodes, &grid);
    nodes[5].region.centre.x += 20;
    nodes[19].region.centre.y -= 15;
    assert_int_equal(lattice_fit(&lattice, &error), STATUS_OK);
    for (int i = 0; i < 24; i++) {
        struct quad cell = homography_cell(&lattice.map, i / 6, i % 6);

        if (i != 5 && i != 19)
            assert_true(point_distance(homography_apply(&lattice.map,
                                                        (struct point){i % 6 + 0.5, i / 6 + 0.5}),
                                       nodes[i].region.centre) < 1.5);
        assert_true(quad_is_convex(&cell));
    }
}

static void nodes_on_one_line_have_no_map(void **state)
{
    struct lattice_node nodes[6];
    struct lattice lattice = {.nodes = nodes, .count = 6, .lines = {6, 1}};
    struct error error = {0};

    (void)state;
    for (int i = 0; i < 6; i++)
        nodes[i] =
            (struct lattice_node){{i, 0}, square_region((struct point){50 + 40 * i, 60}, 30)};
    assert_int_equal(lattice_fit(&lattice, &error), STATUS_NOT_FOUND);
}

/* --- turning -------------------------------------------------------------------------------- */

/* Where the middle of a place lies in the picture. */
static struct point middle_of(const struct lattice *lattice, int column, int row)
{
    return homography_apply(&lattice->map,
                            lattice_plane(lattice->gaps, (struct point){column + 0.5, row + 0.5}));
}

/* A lattice whose last two columns stand half a pitch, and whose last row a whole one, farther. */
static struct lattice lattice_in_groups(struct lattice_node nodes[24])
{
    struct drawing_grid grid = {{{{100, 100}, {420, 120}, {400, 320}, {120, 300}}}, 6, 4, 0.8};
    struct lattice lattice = {
        .nodes = nodes, .count = 24, .lines = {6, 4}, .gaps = {{1, {4}, {0.5}}, {1, {3}, {1}}}};
    struct error error = {0};

    fill_nodes(nodes, &grid);
    assert_int_equal(lattice_fit(&lattice, &error), STATUS_OK);
    return lattice;
}

static void a_turned_lattice_lies_as_before_and_counts_from_another_corner(void **state)
{
    /* The place, as the lattice was found, that is the first one after each quarter turn. */
    const int first[4][AXES] = {{0, 0}, {5, 0}, {5, 3}, {0, 3}};

    (void)state;
    for (int turns = 0; turns < 4; turns++) {
        struct lattice_node nodes[24];
        struct lattice before = lattice_in_groups(nodes), turned = before;

        lattice_turn(&turned, turns);
        assert_int_equal(turned.lines[AXIS_COLUMN], turns % 2 ? 4 : 6);
        assert_int_equal(turned.lines[AXIS_ROW], turns % 2 ? 6 : 4);
        assert_true(
            point_distance(middle_of(&turned, 0, 0), middle_of(&before, first[turns][AXIS_COLUMN],
                                                               first[turns][AXIS_ROW])) < 1e-6);
        for (int i = 0; i < 24; i++) {
            int at[AXES] = {nodes[i].at[AXIS_COLUMN], nodes[i].at[AXIS_ROW]};
            struct point middle = middle_of(&turned, at[AXIS_COLUMN], at[AXIS_ROW]);

            assert_true(point_distance(middle, middle_of(&before, i % 6, i / 6)) < 1e-6);
            lattice_turn_back(before.lines, turns, at);
            assert_int_equal(at[AXIS_COLUMN], i % 6);
            assert_int_equal(at[AXIS_ROW], i / 6);
        }
    }
}

static void four_quarter_turns_change_nothing(void **state)
{
    struct lattice_node nodes[24];
    struct lattice before = lattice_in_groups(nodes), turned = before;

    (void)state;
    for (int i = 0; i < 4; i++)
        lattice_turn(&turned, 1);
    assert_memory_equal(turned.lines, before.lines, sizeof before.lines);
    assert_memory_equal(turned.gaps, before.gaps, sizeof before.gaps);
    for (int i = 0; i < 24; i++) {
        assert_int_equal(nodes[i].at[AXIS_COLUMN], i % 6);
        assert_int_equal(nodes[i].at[AXIS_ROW], i / 6);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_grid_is_found_whole_with_rows_and_columns_as_they_lie),
        cmocka_unit_test(grids_of_2_x_3_to_10_x_12_are_found),
        cmocka_unit_test(cells_up_to_two_and_a_half_times_as_wide_as_high_are_found),
        cmocka_unit_test(a_grid_tilted_by_35_degrees_any_way_is_found),
        cmocka_unit_test(a_grid_is_found_in_every_turn_and_never_mirrored),
        cmocka_unit_test(missing_cells_are_stepped_over),
        cmocka_unit_test(a_curved_grid_is_followed),
        cmocka_unit_test(places_a_twentieth_of_the_pitch_off_are_forgiven),
        cmocka_unit_test(two_grids_apart_are_both_found_the_larger_first),
        cmocka_unit_test(two_grids_that_run_into_each_other_are_both_found),
        cmocka_unit_test(a_stray_square_beside_a_grid_is_left_out),
        cmocka_unit_test(random_squares_make_no_lattice_of_a_card_s_size),
        cmocka_unit_test(one_row_of_squares_is_no_lattice),
        cmocka_unit_test(no_regions_make_no_lattice),
        cmocka_unit_test(two_nodes_far_off_do_not_bend_the_map),
        cmocka_unit_test(nodes_on_one_line_have_no_map),
        cmocka_unit_test(a_turned_lattice_lies_as_before_and_counts_from_another_corner),
        cmocka_unit_test(four_quarter_turns_change_nothing),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
