#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "values/statistics.h"

#include <math.h>
#include <stdlib.h>

static void check_near(double value, double wanted, double tolerance)
{
    if (!(fabs(value - wanted) < tolerance))
        fail_msg("wanted %.9g, got %.9g", wanted, value);
}

static void mean_and_maximum_of_a_worked_example(void **state)
{
    const double values[] = {2, 4, 4, 4, 5, 5, 7, 9};

    (void)state;
    check_near(statistics_mean(values, 8), 5, 1e-12);
    check_near(statistics_maximum(values, 8), 9, 1e-12);
}

static void few_values_give_no_surprise(void **state)
{
    double one[] = {3};

    (void)state;
    assert_true(statistics_mean(one, 0) == 0.0);
    assert_true(statistics_median(one, 0) == 0.0);
    assert_true(statistics_quantile(one, 0, 0.5) == 0.0);
    assert_true(statistics_maximum(one, 0) == 0.0);
    assert_true(statistics_median(one, 1) == 3.0);
    assert_true(statistics_quantile(one, 1, 0.95) == 3.0);
}

static void the_median_of_an_even_count_lies_between_the_middle_two(void **state)
{
    double odd[] = {9, -1, 4, 100, 3};
    double even[] = {9, 1, 4, 100};

    (void)state;
    assert_true(statistics_median(odd, 5) == 4.0);
    assert_true(statistics_median(even, 4) == 6.5);
}

static int by_value(const void *a, const void *b)
{
    double first = *(const double *)a, second = *(const double *)b;

    return (first > second) - (first < second);
}

/* Few different values, as samples of eight bits are, and many. */
static void the_median_is_what_sorting_gives(void **state)
{
    unsigned seed = 1;

    (void)state;
    for (int round = 0; round < 2000; round++) {
        double values[60], sorted[60];
        size_t count = 1 + (size_t)round % 60;
        unsigned kinds = 1U << round % 9;

        for (size_t i = 0; i < count; i++) {
            seed = seed * 1664525U + 1013904223U;
            values[i] = sorted[i] = (seed >> 16) % kinds;
        }
        qsort(sorted, count, sizeof *sorted, by_value);
        check_near(statistics_median(values, count),
                   (sorted[(count - 1) / 2] + sorted[count / 2]) / 2, 1e-12);
    }
}

static void quantiles_are_linear_between_order_statistics(void **state)
{
    double values[] = {40, 10, 30, 20, 50};

    (void)state;
    check_near(statistics_quantile(values, 5, 0.0), 10, 1e-12);
    check_near(statistics_quantile(values, 5, 0.25), 20, 1e-12);
    check_near(statistics_quantile(values, 5, 0.95), 48, 1e-12);
    check_near(statistics_quantile(values, 5, 1.0), 50, 1e-12);
}

/* Source: quantiles of the chi distribution with 1, 2 and 3 degrees of freedom, from the standard
 * tables of chi-square: 3.84146, 5.99146, 7.81473 and 11.34487. */
static void the_radius_of_equal_variances_is_that_of_the_chi_distribution(void **state)
{
    const double three[3] = {1, 1, 1};
    const double two[3] = {1, 0, 1};
    const double one[3] = {0, 1, 0};
    const double scaled[3] = {4, 4, 4};
    const double none[3] = {0, 0, 0};

    (void)state;
    check_near(statistics_normal_radius(three, 0.95), sqrt(7.81473), 1e-5);
    check_near(statistics_normal_radius(three, 0.99), sqrt(11.34487), 1e-5);
    check_near(statistics_normal_radius(two, 0.95), sqrt(5.99146), 1e-5);
    check_near(statistics_normal_radius(one, 0.95), sqrt(3.84146), 1e-5);
    check_near(statistics_normal_radius(scaled, 0.95), 2 * sqrt(7.81473), 1e-5);
    assert_true(statistics_normal_radius(none, 0.95) == 0.0);
}

/* A uniform number between 0 and 1. Source: Steele and Vigna's splitmix64, public domain. */
static double uniform(uint64_t *seed)
{
    uint64_t z = (*seed += 0x9e3779b97f4a7c15ULL);

    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9ULL;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebULL;
    return ((double)((z ^ (z >> 31)) >> 11) + 0.5) / 9007199254740992.0;
}

static double normal(uint64_t *seed)
{
    return sqrt(-2 * log(uniform(seed))) * cos(6.283185307179586 * uniform(seed));
}

static void the_radius_of_unequal_variances_holds_what_it_states(void **state)
{
    static const double variances[3][3] = {{4, 1, 0.25}, {1, 0.5, 0.01}, {9, 0.1, 0.1}};
    const int draws = 100000;
    uint64_t seed = 20;

    (void)state;
    for (int k = 0; k < 3; k++) {
        double radius = statistics_normal_radius(variances[k], 0.95);
        int inside = 0;

        for (int i = 0; i < draws; i++) {
            double squares = 0;

            for (int j = 0; j < 3; j++)
                squares += variances[k][j] * pow(normal(&seed), 2);
            inside += squares <= radius * radius;
        }
        check_near((double)inside / draws, 0.95, 0.005);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(mean_and_maximum_of_a_worked_example),
        cmocka_unit_test(few_values_give_no_surprise),
        cmocka_unit_test(the_median_is_what_sorting_gives),
        cmocka_unit_test(the_median_of_an_even_count_lies_between_the_middle_two),
        cmocka_unit_test(quantiles_are_linear_between_order_statistics),
        cmocka_unit_test(the_radius_of_equal_variances_is_that_of_the_chi_distribution),
        cmocka_unit_test(the_radius_of_unequal_variances_holds_what_it_states),
    };

    return cmocka_run_group_tests_name("statistics", tests, NULL, NULL);
}
