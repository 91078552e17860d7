#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "values/geometry.h"

#include <math.h>

static void check_point(struct point point, double x, double y, double tolerance)
{
    if (!(fabs(point.x - x) < tolerance && fabs(point.y - y) < tolerance))
        fail_msg("wanted %.9g, %.9g, got %.9g, %.9g", x, y, point.x, point.y);
}

static const struct quad rectangle = {{{10, 20}, {50, 20}, {50, 45}, {10, 45}}};
static const struct quad slanted = {{{812.5, 403.25}, {2950, 611}, {2733, 2104.5}, {655, 1790}}};

static void points_add_scale_and_measure(void **state)
{
    struct point a = {1, 2}, b = {4, 6};

    (void)state;
    check_point(point_add(a, b), 5, 8, 1e-12);
    check_point(point_subtract(b, a), 3, 4, 1e-12);
    check_point(point_scale(a, -2), -2, -4, 1e-12);
    check_point(point_between(a, b, 0.25), 1.75, 3, 1e-12);
    assert_true(fabs(point_distance(a, b) - 5) < 1e-12);
}

static void a_turn_clockwise_on_the_screen_is_positive(void **state)
{
    struct point right = {1, 0}, down = {0, 1};

    (void)state;
    assert_true(point_cross(right, down) > 0);
    assert_true(point_cross(down, right) < 0);
}

static void the_area_of_a_quad_has_the_sign_of_its_turn(void **state)
{
    struct quad backwards = {
        {rectangle.corner[3], rectangle.corner[2], rectangle.corner[1], rectangle.corner[0]}};

    (void)state;
    assert_true(fabs(quad_area(&rectangle) - 1000) < 1e-9);
    assert_true(fabs(quad_area(&backwards) + 1000) < 1e-9);
    check_point(quad_centre(&rectangle), 30, 32.5, 1e-12);
}

static void only_clockwise_quads_without_dents_are_convex(void **state)
{
    struct quad dented = {{{0, 0}, {10, 0}, {3, 3}, {0, 10}}};
    struct quad crossed = {{{0, 0}, {10, 10}, {10, 0}, {0, 10}}};
    struct quad flat = {{{0, 0}, {5, 0}, {10, 0}, {0, 10}}};
    struct quad backwards = {{{0, 0}, {0, 10}, {10, 10}, {10, 0}}};

    (void)state;
    assert_true(quad_is_convex(&rectangle));
    assert_true(quad_is_convex(&slanted));
    assert_false(quad_is_convex(&dented));
    assert_false(quad_is_convex(&crossed));
    assert_false(quad_is_convex(&flat));
    assert_false(quad_is_convex(&backwards));
}

static void a_quad_contains_what_lies_inside(void **state)
{
    (void)state;
    assert_true(quad_contains(&rectangle, (struct point){11, 44}));
    assert_false(quad_contains(&rectangle, (struct point){9, 30}));
    assert_false(quad_contains(&rectangle, (struct point){30, 46}));
    assert_true(quad_contains(&slanted, quad_centre(&slanted)));
    assert_false(quad_contains(&slanted, (struct point){700, 500}));
}

static void an_inset_leaves_out_its_fraction_at_every_side(void **state)
{
    struct quad inner = quad_inset(&rectangle, 0.1);
    struct quad outer = quad_inset(&rectangle, -0.1);

    (void)state;
    check_point(inner.corner[0], 14, 22.5, 1e-12);
    check_point(inner.corner[2], 46, 42.5, 1e-12);
    check_point(outer.corner[1], 54, 17.5, 1e-12);
}

static void a_map_from_a_quad_takes_the_unit_square_to_it(void **state)
{
    struct homography map;
    struct error error;
    struct quad unit = quad_unit();

    (void)state;
    assert_int_equal(homography_from_quad(&slanted, &map, &error), STATUS_OK);
    for (int i = 0; i < 4; i++)
        check_point(homography_apply(&map, unit.corner[i]), slanted.corner[i].x,
                    slanted.corner[i].y, 1e-6);
}

/* Straight lines stay straight: the diagonals of a square meet where those of its image meet. */
static void a_map_keeps_the_crossing_of_the_diagonals(void **state)
{
    const struct point *c = slanted.corner;
    struct point first = point_subtract(c[2], c[0]);
    struct point second = point_subtract(c[3], c[1]);
    double along = point_cross(point_subtract(c[1], c[0]), second) / point_cross(first, second);
    struct point crossing = point_add(c[0], point_scale(first, along));
    struct homography map;
    struct error error;

    (void)state;
    assert_int_equal(homography_from_quad(&slanted, &map, &error), STATUS_OK);
    check_point(homography_apply(&map, (struct point){0.5, 0.5}), crossing.x, crossing.y, 1e-6);
}

static void a_map_is_found_again_from_its_points(void **state)
{
    const struct homography truth = {{0.9, -0.2, 300, 0.15, 1.1, -40, 1e-4, -5e-5, 1}};
    struct point from[30], to[30];
    struct homography map;
    struct error error;

    (void)state;
    for (int i = 0; i < 30; i++) {
        from[i] = (struct point){i % 6 * 400.0, i / 6 * 450.0};
        to[i] = homography_apply(&truth, from[i]);
    }
    assert_int_equal(
        homography_fit(&(struct homography_points){from, to, NULL, 30, 0}, &map, &error),
        STATUS_OK);
    for (int i = 0; i < 9; i++)
        assert_true(fabs(map.m[i] - truth.m[i]) < 1e-8 * (1 + fabs(truth.m[i])));
}

static void points_of_no_weight_do_not_count(void **state)
{
    const struct homography truth = {{1.2, 0.1, 5, -0.1, 0.9, 7, 1e-4, 2e-4, 1}};
    struct point from[9], to[9];
    double weight[9];
    struct homography map;
    struct error error;

    (void)state;
    for (int i = 0; i < 9; i++) {
        from[i] = (struct point){i % 3 * 100.0, i / 3 * 100.0};
        to[i] = homography_apply(&truth, from[i]);
        weight[i] = i == 4 ? 0 : 1;
    }
    to[4] = (struct point){-900, 4000};
    assert_int_equal(
        homography_fit(&(struct homography_points){from, to, weight, 9, 0}, &map, &error),
        STATUS_OK);
    for (int i = 0; i < 9; i++)
        assert_true(fabs(map.m[i] - truth.m[i]) < 1e-7 * (1 + fabs(truth.m[i])));
}

static void points_that_fix_no_map_are_refused(void **state)
{
    const struct point line[5] = {{0, 0}, {1, 1}, {2, 2}, {3, 3}, {4, 4}};
    const struct quad flat = {{{0, 0}, {5, 0}, {10, 0}, {0, 10}}};
    struct homography map;
    struct error error;

    (void)state;
    assert_int_equal(
        homography_fit(&(struct homography_points){line, line, NULL, 3, 0}, &map, &error),
        STATUS_NOT_FOUND);
    assert_int_equal(
        homography_fit(&(struct homography_points){line, line, NULL, 5, 0}, &map, &error),
        STATUS_NOT_FOUND);
    assert_int_equal(homography_from_quad(&flat, &map, &error), STATUS_NOT_FOUND);
}

static void a_map_and_its_inverse_cancel(void **state)
{
    struct homography map, back, both, zero = {{0}};
    struct error error;

    (void)state;
    assert_int_equal(homography_from_quad(&slanted, &map, &error), STATUS_OK);
    back = homography_invert(&map);
    both = homography_compose(&back, &map);
    check_point(homography_apply(&both, (struct point){0.3, 0.8}), 0.3, 0.8, 1e-9);
    zero = homography_invert(&zero);
    for (int i = 0; i < 9; i++)
        assert_true(zero.m[i] == 0.0);
}

static void composed_maps_apply_the_first_first(void **state)
{
    const struct homography move = {{1, 0, 10, 0, 1, 0, 0, 0, 1}};
    const struct homography grow = {{3, 0, 0, 0, 3, 0, 0, 0, 1}};
    struct homography map = homography_compose(&grow, &move);

    (void)state;
    check_point(homography_apply(&map, (struct point){1, 1}), 33, 3, 1e-12);
}

static void a_cell_is_the_unit_square_at_its_row_and_column(void **state)
{
    const struct homography map = {{20, 0, 100, 0, 30, 200, 0, 0, 1}};
    struct quad cell = homography_cell(&map, 2, 3);

    (void)state;
    check_point(cell.corner[0], 160, 260, 1e-12);
    check_point(cell.corner[2], 180, 290, 1e-12);
    assert_true(quad_is_convex(&cell));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(points_add_scale_and_measure),
        cmocka_unit_test(a_turn_clockwise_on_the_screen_is_positive),
        cmocka_unit_test(the_area_of_a_quad_has_the_sign_of_its_turn),
        cmocka_unit_test(only_clockwise_quads_without_dents_are_convex),
        cmocka_unit_test(a_quad_contains_what_lies_inside),
        cmocka_unit_test(an_inset_leaves_out_its_fraction_at_every_side),
        cmocka_unit_test(a_map_from_a_quad_takes_the_unit_square_to_it),
        cmocka_unit_test(a_map_keeps_the_crossing_of_the_diagonals),
        cmocka_unit_test(a_map_is_found_again_from_its_points),
        cmocka_unit_test(points_of_no_weight_do_not_count),
        cmocka_unit_test(points_that_fix_no_map_are_refused),
        cmocka_unit_test(a_map_and_its_inverse_cancel),
        cmocka_unit_test(composed_maps_apply_the_first_first),
        cmocka_unit_test(a_cell_is_the_unit_square_at_its_row_and_column),
    };

    return cmocka_run_group_tests_name("geometry", tests, NULL, NULL);
}
