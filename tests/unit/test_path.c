#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "analysis/path.h"
#include "values/colour.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#define LARGE 300

static double uniform(double from, double to)
{
    return from + (to - from) * (rand() / (RAND_MAX + 1.0));
}

/* Delta E 2000 between scattered colours. */
static void colour_distances(double *distance, size_t count, double spread)
{
    struct lab labs[LARGE];

    for (size_t i = 0; i < count; i++)
        labs[i] = (struct lab){50 + uniform(-spread, spread) / 2, uniform(-spread, spread),
                               uniform(-spread, spread)};
    for (size_t i = 0; i < count; i++)
        for (size_t j = 0; j < count; j++)
            distance[i * count + j] = i == j ? 0 : colour_delta_e_2000(labs[i], labs[j]);
}

/* Distances by chance, which know no triangle. */
static void chance_distances(double *distance, size_t count)
{
    for (size_t i = 0; i < count; i++)
        for (size_t j = 0; j <= i; j++)
            distance[i * count + j] = distance[j * count + i] = i == j ? 0 : uniform(0, 10);
}

/* The shortest path by trying every order: Heap's permutations. */
static double try_all(const double *distance, size_t count)
{
    size_t visit[10], counter[10] = {0};
    double best;

    for (size_t i = 0; i < count; i++)
        visit[i] = i;
    best = path_length(distance, count, visit, count);
    for (size_t i = 0; i < count;) {
        size_t from, kept;

        if (counter[i] >= i) {
            counter[i++] = 0;
            continue;
        }
        from = i % 2 ? counter[i] : 0;
        kept = visit[from];
        visit[from] = visit[i];
        visit[i] = kept;
        best = fmin(best, path_length(distance, count, visit, count));
        counter[i]++;
        i = 0;
    }
    return best;
}

static struct path solve(const double *distance, size_t count, size_t *visit)
{
    struct error error = {0};
    struct path path;
    bool seen[LARGE] = {false};

    if (path_shortest(distance, count, visit, &path, &error))
        fail_msg("%s", error.message);
    for (size_t i = 0; i < count; i++) {
        assert_true(visit[i] < count);
        assert_false(seen[visit[i]]);
        seen[visit[i]] = true;
    }
    assert_true(fabs(path.length - path_length(distance, count, visit, count)) < 1e-6);
    assert_true(path.bound <= path.length + 1e-9);
    return path;
}

static void a_path_of_few_colours_is_the_shortest_of_all_orders(void **state)
{
    double distance[64];
    size_t visit[8];

    (void)state;
    srand(1);
    for (int i = 0; i < 60; i++) {
        size_t count = 2 + (size_t)i % 7;
        struct path path;

        if (i % 2)
            colour_distances(distance, count, 60);
        else
            chance_distances(distance, count);
        path = solve(distance, count, visit);
        assert_true(path.proven);
        assert_true(fabs(path.length - try_all(distance, count)) < 1e-9);
    }
}

static void no_order_of_few_points_undercuts_the_bound(void **state)
{
    double distance[64], bound;
    struct error error = {0};

    (void)state;
    srand(2);
    for (int i = 0; i < 60; i++) {
        size_t count = 3 + (size_t)i % 6;
        double shortest;

        if (i % 2)
            colour_distances(distance, count, 60);
        else
            chance_distances(distance, count);
        shortest = try_all(distance, count);
        assert_int_equal(path_bound(distance, count, 1.3 * shortest, &bound, &error), STATUS_OK);
        assert_true(bound <= shortest + 1e-9);
        assert_true(bound > 0.5 * shortest || i % 2 == 0);
    }
}

static void a_path_through_three_hundred_colours_comes_near_the_bound_in_seconds(void **state)
{
    double *distance = malloc(sizeof *distance * LARGE * LARGE);
    size_t visit[LARGE];
    struct path path;
    clock_t start;

    (void)state;
    assert_non_null(distance);
    srand(3);
    colour_distances(distance, LARGE, 60);
    start = clock();
    path = solve(distance, LARGE, visit);
    print_message("300 colours: %.2f, bound %.2f, gap %.2f %%, %.2f s\n", path.length, path.bound,
                  100 * (path.length - path.bound) / path.length,
                  (double)(clock() - start) / CLOCKS_PER_SEC);
    assert_true(path.length - path.bound < 0.04 * path.length);
    free(distance);
}

static void local_search_finds_what_subsets_prove(void **state)
{
    enum { JUST_MORE = PATH_EXACT_MAX + 1 };
    double distance[JUST_MORE * JUST_MORE], fewer[PATH_EXACT_MAX * PATH_EXACT_MAX];
    size_t visit[JUST_MORE];

    (void)state;
    srand(4);
    for (int i = 0; i < 6; i++) {
        double shortest;

        colour_distances(distance, JUST_MORE, 60);
        for (size_t a = 0; a < PATH_EXACT_MAX; a++)
            for (size_t b = 0; b < PATH_EXACT_MAX; b++)
                fewer[a * PATH_EXACT_MAX + b] = distance[a * JUST_MORE + b];
        /* the last point stands where the first does: the shortest path is as long without it */
        for (size_t a = 0; a < JUST_MORE; a++)
            distance[(JUST_MORE - 1) * JUST_MORE + a] = distance[a * JUST_MORE + JUST_MORE - 1] =
                a == JUST_MORE - 1 ? 0 : distance[a];
        shortest = solve(fewer, PATH_EXACT_MAX, visit).length;
        assert_true(fabs(solve(distance, JUST_MORE, visit).length - shortest) < 1e-6);
    }
}

static void equal_points_and_single_ones_have_a_path_of_no_length(void **state)
{
    double distance[400] = {0};
    size_t visit[20];

    (void)state;
    assert_true(solve(distance, 1, visit).length == 0);
    assert_true(solve(distance, 2, visit).length == 0);
    assert_true(solve(distance, 20, visit).length == 0);
    assert_true(solve(distance, 20, visit).proven);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_path_of_few_colours_is_the_shortest_of_all_orders),
        cmocka_unit_test(no_order_of_few_points_undercuts_the_bound),
        cmocka_unit_test(a_path_through_three_hundred_colours_comes_near_the_bound_in_seconds),
        cmocka_unit_test(local_search_finds_what_subsets_prove),
        cmocka_unit_test(equal_points_and_single_ones_have_a_path_of_no_length),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
