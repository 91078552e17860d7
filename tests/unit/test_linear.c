#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "values/linear.h"

#include <math.h>

static void check_near(double value, double wanted, double tolerance)
{
    if (!(fabs(value - wanted) < tolerance))
        fail_msg("wanted %.12g, got %.12g", wanted, value);
}

/* Source: Anscombe, "Graphs in statistical analysis", The American Statistician 27(1), 1973, first
 * set; its line is y = 3.0001 + 0.5001 x. */
static const double anscombe_x[11] = {10, 8, 13, 9, 11, 14, 6, 4, 12, 7, 5};
static const double anscombe_y[11] = {8.04, 6.95, 7.58,  8.81, 8.33, 9.96,
                                      7.24, 4.26, 10.84, 4.82, 5.68};

static void a_published_line_is_fitted(void **state)
{
    double design[22], solution[2];
    struct linear_problem problem = {design, anscombe_y, NULL, NULL, 11, 2, 1};
    struct error error;

    (void)state;
    for (int i = 0; i < 11; i++) {
        design[2 * i] = 1;
        design[2 * i + 1] = anscombe_x[i];
    }
    assert_int_equal(linear_least_squares(&problem, solution, &error), STATUS_OK);
    check_near(solution[0], 3.00009, 5e-6);
    check_near(solution[1], 0.50009, 5e-6);
}

static void several_targets_are_fitted_at_once(void **state)
{
    const double design[] = {1, 0, 1, 1, 1, 2, 1, 3};
    const double target[] = {1, 10, 3, 8, 5, 6, 7, 4};
    struct linear_problem problem = {design, target, NULL, NULL, 4, 2, 2};
    double solution[4];
    struct error error;

    (void)state;
    assert_int_equal(linear_least_squares(&problem, solution, &error), STATUS_OK);
    check_near(solution[0], 1, 1e-12);
    check_near(solution[1], 10, 1e-12);
    check_near(solution[2], 2, 1e-12);
    check_near(solution[3], -2, 1e-12);
}

static void weights_count_points_more_or_less(void **state)
{
    const double design[] = {1, 1, 1};
    const double target[] = {1, 5, 900};
    const double weight[] = {3, 1, 0};
    struct linear_problem problem = {design, target, weight, NULL, 3, 1, 1};
    double solution[1];
    struct error error;

    (void)state;
    assert_int_equal(linear_least_squares(&problem, solution, &error), STATUS_OK);
    check_near(solution[0], 2, 1e-12);
}

static void a_ridge_pulls_towards_zero_and_mends_a_singular_problem(void **state)
{
    const double design[] = {1, 1, 2, 2, 3, 3};
    const double target[] = {2, 4, 6};
    const double ridge[] = {0.5, 0.5};
    struct linear_problem problem = {design, target, NULL, NULL, 3, 2, 1};
    double solution[2];
    struct error error;

    (void)state;
    assert_int_equal(linear_least_squares(&problem, solution, &error), STATUS_NOT_FOUND);
    assert_non_null(error.message[0] ? error.message : NULL);
    problem.ridge = ridge;
    assert_int_equal(linear_least_squares(&problem, solution, &error), STATUS_OK);
    check_near(solution[0], 28 / 28.5, 1e-9);
    check_near(solution[1], 28 / 28.5, 1e-9);
}

static void columns_of_very_different_sizes_are_no_singular_problem(void **state)
{
    double design[20], target[10], solution[2];
    struct linear_problem problem = {design, target, NULL, NULL, 10, 2, 1};
    struct error error;

    (void)state;
    for (int i = 0; i < 10; i++) {
        design[2 * i] = 1e-7 * (i + 1);
        design[2 * i + 1] = 1e6 * i * i;
        target[i] = 3e7 * design[2 * i] - 2e-6 * design[2 * i + 1];
    }
    assert_int_equal(linear_least_squares(&problem, solution, &error), STATUS_OK);
    check_near(solution[0] / 3e7, 1, 1e-9);
    check_near(solution[1] / -2e-6, 1, 1e-9);
}

/*
 * Source: NIST Statistical Reference Datasets, nonlinear regression, "Misra1a"; data and certified
 * values from memory.
 */
static const double misra_x[14] = {77.6,  114.9, 141.1, 190.8, 239.9, 289.0, 332.8,
                                   378.4, 434.8, 477.3, 536.8, 593.1, 689.1, 760.0};
static const double misra_y[14] = {10.07, 14.73, 17.94, 23.93, 29.61, 35.18, 40.02,
                                   44.82, 50.76, 55.05, 61.01, 66.40, 75.47, 81.78};

static void misra_residuals(const double *b, void *context, double *residuals)
{
    (void)context;
    for (int i = 0; i < 14; i++)
        residuals[i] = b[0] * (1 - exp(-1e-4 * b[1] * misra_x[i])) - misra_y[i];
}

static void a_certified_nonlinear_fit_is_reproduced(void **state)
{
    const double starts[2][2] = {{500, 1}, {250, 5}};
    const struct linear_residuals problem = {misra_residuals, NULL, 2, 14, 200};
    struct error error;

    (void)state;
    for (int i = 0; i < 2; i++) {
        double b[2] = {starts[i][0], starts[i][1]};

        assert_int_equal(linear_minimise(&problem, b, &error), STATUS_OK);
        check_near(b[0] / 238.94212918, 1, 1e-4);
        check_near(b[1] / 5.5015643181, 1, 1e-4);
    }
}

/* Source: Rosenbrock, The Computer Journal 3(3), 1960: the valley's lowest point is (1, 1). */
static void rosenbrock_residuals(const double *at, void *context, double *residuals)
{
    int *calls = context;

    ++*calls;
    residuals[0] = 10 * (at[1] - at[0] * at[0]);
    residuals[1] = 1 - at[0];
}

static void the_bent_valley_is_followed_to_its_end(void **state)
{
    int calls = 0;
    const struct linear_residuals problem = {rosenbrock_residuals, &calls, 2, 2, 200};
    double at[2] = {-1.2, 1};
    struct error error;

    (void)state;
    assert_int_equal(linear_minimise(&problem, at, &error), STATUS_OK);
    check_near(at[0], 1, 1e-4);
    check_near(at[1], 1, 1e-4);
    assert_in_range(calls, 3, 1000);
}

static void no_number_residuals(const double *at, void *context, double *residuals)
{
    (void)at;
    (void)context;
    residuals[0] = NAN;
}

static void a_start_without_a_number_is_refused(void **state)
{
    const struct linear_residuals problem = {no_number_residuals, NULL, 1, 1, 10};
    double at[1] = {0};
    struct error error;

    (void)state;
    assert_int_equal(linear_minimise(&problem, at, &error), STATUS_NOT_FOUND);
}

static void a_matrix_and_its_inverse_give_the_identity(void **state)
{
    const double matrix[9] = {2, -1, 0.5, 3, 4, -2, 1, 0, 7};
    const double singular[9] = {1, 2, 3, 2, 4, 6, 7, 8, 9};
    double inverse[9], product[9];

    (void)state;
    linear_invert_3x3(matrix, inverse);
    linear_multiply_3x3(matrix, inverse, product);
    for (int i = 0; i < 9; i++)
        check_near(product[i], i % 4 ? 0 : 1, 1e-12);
    linear_invert_3x3(singular, inverse);
    for (int i = 0; i < 9; i++)
        assert_true(inverse[i] == 0.0);
}

static void matrices_multiply_in_the_order_written(void **state)
{
    const double a[9] = {1, 2, 0, 0, 1, 0, 0, 0, 1};
    const double b[9] = {0, 1, 0, 1, 0, 0, 0, 0, 5};
    const double wanted[9] = {2, 1, 0, 1, 0, 0, 0, 0, 5};
    double product[9];

    (void)state;
    linear_multiply_3x3(a, b, product);
    for (int i = 0; i < 9; i++)
        check_near(product[i], wanted[i], 1e-12);
}

/* The second-difference matrix: its eigenvalues are 2 - 2 cos(k pi / 4). */
static void eigenvalues_come_largest_first(void **state)
{
    const double matrix[9] = {2, -1, 0, -1, 2, -1, 0, -1, 2};
    double values[3];

    (void)state;
    linear_eigenvalues_3x3(matrix, values);
    check_near(values[0], 2 + sqrt(2), 1e-12);
    check_near(values[1], 2, 1e-12);
    check_near(values[2], 2 - sqrt(2), 1e-12);
}

static void a_likelihood_is_that_of_the_normal_distribution(void **state)
{
    double covariance[4] = {2, 0.5, 0.5, 1}, logarithm;
    const double vector[2] = {1, -1};
    struct error error;

    (void)state;
    assert_int_equal(linear_log_likelihood(covariance, 2, vector, &logarithm, &error), STATUS_OK);
    /* determinant 1.75; by hand, the quadratic form is 4 / 1.75 */
    assert_true(fabs(logarithm + 2 / 1.75 + log(1.75) / 2) < 1e-12);
    covariance[0] = covariance[3] = 1;
    covariance[1] = covariance[2] = 2;
    assert_int_equal(linear_log_likelihood(covariance, 2, vector, &logarithm, &error),
                     STATUS_NOT_FOUND);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_likelihood_is_that_of_the_normal_distribution),
        cmocka_unit_test(a_published_line_is_fitted),
        cmocka_unit_test(several_targets_are_fitted_at_once),
        cmocka_unit_test(weights_count_points_more_or_less),
        cmocka_unit_test(a_ridge_pulls_towards_zero_and_mends_a_singular_problem),
        cmocka_unit_test(columns_of_very_different_sizes_are_no_singular_problem),
        cmocka_unit_test(a_certified_nonlinear_fit_is_reproduced),
        cmocka_unit_test(the_bent_valley_is_followed_to_its_end),
        cmocka_unit_test(a_start_without_a_number_is_refused),
        cmocka_unit_test(a_matrix_and_its_inverse_give_the_identity),
        cmocka_unit_test(matrices_multiply_in_the_order_written),
        cmocka_unit_test(eigenvalues_come_largest_first),
    };

    return cmocka_run_group_tests_name("linear", tests, NULL, NULL);
}
