#include "lattice_fixture.h"

#include "location/warp.h"

#include <math.h>

#define PITCH 40.0
#define SAG                                                                                        \
    14.0 /* pixels by which the sheet's middle lies lower than its ends: no plane does that */

static const struct drawing_grid grid = {
    {{{100, 100}, {420, 120}, {400, 320}, {120, 300}}}, 8, 5, 0.8};

static struct warp warp_of(const struct lattice *lattice)
{
    struct warp warp;
    struct error error = {0};

    assert_int_equal(warp_fit(lattice, &warp, &error), STATUS_OK);
    return warp;
}

static double sag_at(double column)
{
    double off = (column + 0.5) / grid.columns - 0.5;

    return SAG * (1 - 4 * off * off);
}

/* The grid on a sheet that sags, seen from aside, as a paper's middle lifts off the desk. */
static struct lattice sagging(struct lattice_node nodes[FIXTURE_NODES])
{
    struct lattice lattice = fixture_lattice(&grid, nodes);
    struct error error = {0};

    for (size_t i = 0; i < lattice.count; i++) {
        double sag = sag_at(nodes[i].at[AXIS_COLUMN]);

        nodes[i].region.centre.x += sag / 2;
        nodes[i].region.centre.y += sag;
    }
    assert_int_equal(lattice_fit(&lattice, &error), STATUS_OK);
    return lattice;
}

/* The farthest that the warp takes a cell's middle from where it was seen. */
static double farthest_off(const struct warp *warp, const struct lattice *lattice)
{
    double off = 0;

    for (size_t i = 0; i < lattice->count; i++) {
        struct point at = warp_apply(warp, lattice_node_middle(&lattice->nodes[i]));

        off = fmax(off, point_distance(at, lattice->nodes[i].region.centre));
    }
    return off;
}

static void a_flat_sheet_is_laid_as_its_map_says(void **state)
{
    struct lattice_node nodes[FIXTURE_NODES];
    struct lattice lattice = fixture_lattice(&grid, nodes);
    struct warp warp = warp_of(&lattice);

    (void)state;
    for (int column = 0; column <= grid.columns; column++)
        for (int row = 0; row <= grid.rows; row++) {
            struct point at = {column, row};

            drawing_assert_near(
                point_distance(warp_apply(&warp, at), homography_apply(&lattice.map, at)), 0,
                0.01 * PITCH);
        }
}

static void a_sheet_that_sags_is_followed_where_no_plane_does(void **state)
{
    struct lattice_node nodes[FIXTURE_NODES];
    struct lattice lattice = sagging(nodes);
    struct warp bent = warp_of(&lattice), flat = bent;

    (void)state;
    flat.terms = 0;
    assert_true(farthest_off(&flat, &lattice) > 0.1 * PITCH);
    assert_true(farthest_off(&bent, &lattice) < 0.04 * PITCH);
}

static void a_cell_that_was_not_seen_lies_on_the_bend_of_the_others(void **state)
{
    struct lattice_node nodes[FIXTURE_NODES];
    struct lattice lattice = sagging(nodes);
    struct lattice_node missing = nodes[20];
    struct warp warp;

    (void)state;
    nodes[20] = nodes[--lattice.count];
    warp = warp_of(&lattice);
    assert_true(point_distance(warp_apply(&warp, lattice_node_middle(&missing)),
                               missing.region.centre) < 0.04 * PITCH);
}

static void one_region_off_its_place_does_not_bend_the_sheet(void **state)
{
    struct lattice_node nodes[FIXTURE_NODES];
    struct lattice lattice = fixture_lattice(&grid, nodes);
    struct point place = nodes[20].region.centre;
    struct warp warp;

    (void)state;
    nodes[20].region.centre.x += 0.4 * PITCH;
    warp = warp_of(&lattice);
    assert_true(point_distance(warp_apply(&warp, lattice_node_middle(&nodes[20])), place) <
                0.02 * PITCH);
}

static void few_cells_bear_no_bend(void **state)
{
    const struct drawing_grid small = {grid.outer, 4, 3, 0.8};
    struct lattice_node nodes[FIXTURE_NODES];
    struct lattice lattice = fixture_lattice(&small, nodes);

    (void)state;
    nodes[5].region.centre.y += 0.2 * PITCH;
    assert_int_equal(warp_of(&lattice).terms, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_flat_sheet_is_laid_as_its_map_says),
        cmocka_unit_test(a_sheet_that_sags_is_followed_where_no_plane_does),
        cmocka_unit_test(a_cell_that_was_not_seen_lies_on_the_bend_of_the_others),
        cmocka_unit_test(one_region_off_its_place_does_not_bend_the_sheet),
        cmocka_unit_test(few_cells_bear_no_bend),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
