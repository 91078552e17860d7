#include "values/linear.h"

#include "base/memory.h"

#include <gsl/gsl_eigen.h>
#include <gsl/gsl_linalg.h>
#include <gsl/gsl_sort_vector.h>

#include <math.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

#define FEW 256 /* numbers of equations that the stack has room for */
#define SINGULAR 1e-13
#define DERIVATIVE_STEP 1e-6
#define DAMPING_START 1e-3
#define DAMPING_MAX 1e12

/* One row's share; projective maps have many zeros in theirs. */
static void add_row(const struct linear_problem *problem, size_t row, double *normal, double *right)
{
    size_t n = problem->columns;
    const double *a = problem->design + row * n;
    const double *b = problem->targets ? problem->target + row * problem->targets : NULL;

    for (size_t i = 0; i < n; i++) {
        double weighted = (problem->weight ? problem->weight[row] : 1.0) * a[i];

        if (weighted == 0)
            continue;
        for (size_t j = 0; j <= i; j++)
            normal[i * n + j] += weighted * a[j];
        for (size_t t = 0; t < problem->targets; t++)
            right[t * n + i] += weighted * b[t];
    }
}

/* Form the normal equations: normal = A'WA + ridge, right = A'Wb. */
static void normal_equations(const struct linear_problem *problem, double *normal, double *right)
{
    size_t n = problem->columns;

    for (size_t row = 0; row < problem->rows; row++)
        add_row(problem, row, normal, right);
    for (size_t i = 0; i < n; i++)
        for (size_t j = 0; j < i; j++)
            normal[j * n + i] = normal[i * n + j];
    for (size_t i = 0; problem->ridge && i < n; i++)
        normal[i * n + i] += problem->ridge[i];
}

/* Scale the normal matrix to a unit diagonal, so that "singular" has one meaning. */
static bool equilibrate(double *normal, double *scale, size_t n)
{
    for (size_t i = 0; i < n; i++) {
        if (!(normal[i * n + i] > 0) || !isfinite(normal[i * n + i]))
            return false;
        scale[i] = 1 / sqrt(normal[i * n + i]);
    }
    for (size_t i = 0; i < n; i++)
        for (size_t j = 0; j < n; j++)
            normal[i * n + j] *= scale[i] * scale[j];
    return true;
}

/* Factor in place; false when a pivot shows the matrix to be singular. */
static bool cholesky(double *normal, size_t n)
{
    gsl_matrix_view matrix = gsl_matrix_view_array(normal, n, n);
    gsl_error_handler_t *handler = gsl_set_error_handler_off();
    int fault = gsl_linalg_cholesky_decomp1(&matrix.matrix);

    gsl_set_error_handler(handler);
    for (size_t i = 0; !fault && i < n; i++)
        if (!(normal[i * n + i] * normal[i * n + i] > SINGULAR))
            return false;
    return !fault;
}

static bool solve_normal(double *normal, double *right, double *scale, size_t n, size_t targets)
{
    gsl_matrix_view matrix = gsl_matrix_view_array(normal, n, n);

    if (!equilibrate(normal, scale, n) || !cholesky(normal, n))
        return false;
    for (size_t t = 0; t < targets; t++) {
        gsl_vector_view vector = gsl_vector_view_array(right + t * n, n);

        for (size_t i = 0; i < n; i++)
            right[t * n + i] *= scale[i];
        gsl_linalg_cholesky_svx(&matrix.matrix, &vector.vector);
        for (size_t i = 0; i < n; i++)
            right[t * n + i] *= scale[i];
    }
    return true;
}

static enum status unfixed(size_t n, struct error *error)
{
    return error_set(error, STATUS_NOT_FOUND, "the equations for %zu unknowns do not fix them", n);
}

enum status linear_solve_symmetric(double *matrix, size_t n, double *right, size_t targets,
                                   struct error *error)
{
    double *scale = memory_array(n, sizeof *scale, "equations", error);
    bool solved;

    if (!scale)
        return error->status;
    solved = solve_normal(matrix, right, scale, n, targets);
    free(scale);
    return solved ? STATUS_OK : unfixed(n, error);
}

enum status linear_log_determinant(const double *matrix, size_t n, double *logarithm,
                                   struct error *error)
{
    double *copy = memory_array(n * (n + 1), sizeof *copy, "a determinant", error);
    double *scale = copy ? copy + n * n : NULL;
    bool factored;

    if (!copy)
        return error->status;
    memcpy(copy, matrix, n * n * sizeof *copy);
    factored = equilibrate(copy, scale, n) && cholesky(copy, n);
    *logarithm = 0;
    for (size_t i = 0; factored && i < n; i++)
        *logarithm += 2 * (log(copy[i * n + i]) - log(scale[i]));
    free(copy);
    return factored ? STATUS_OK
                    : error_set(error, STATUS_NOT_FOUND,
                                "a matrix of %zu rows has no positive determinant", n);
}

enum status linear_log_likelihood(double *covariance, size_t n, const double *vector,
                                  double *logarithm, struct error *error)
{
    double *scaled = memory_array(2 * n, sizeof *scaled, "a likelihood", error);
    double *scale = scaled ? scaled + n : NULL;
    bool factored;

    if (!scaled)
        return error->status;
    factored = equilibrate(covariance, scale, n) && cholesky(covariance, n);
    *logarithm = 0;
    for (size_t i = 0; factored && i < n; i++) { /* scaled = inverse(factor) * scale * vector */
        scaled[i] = scale[i] * vector[i];
        for (size_t j = 0; j < i; j++)
            scaled[i] -= covariance[i * n + j] * scaled[j];
        scaled[i] /= covariance[i * n + i];
        *logarithm -= scaled[i] * scaled[i] / 2 + log(covariance[i * n + i]) - log(scale[i]);
    }
    free(scaled);
    return factored
               ? STATUS_OK
               : error_set(error, STATUS_NOT_FOUND, "a covariance of %zu rows is not positive", n);
}

/* Fits of few unknowns, which are made to choose among things, can't fail for want of memory. */
enum status linear_least_squares(const struct linear_problem *problem, double *solution,
                                 struct error *error)
{
    size_t n = problem->columns;
    size_t targets = problem->targets, size = n * (n + targets + 1);
    double few[FEW] = {0};
    double *many = size > FEW ? memory_array(size, sizeof *many, "a linear fit", error) : NULL;
    double *normal = many ? many : few, *right = normal + n * n;
    bool solved;

    if (size > FEW && !many)
        return error->status;
    normal_equations(problem, normal, right);
    solved = solve_normal(normal, right, right + n * targets, n, targets);
    for (size_t i = 0; solved && i < n; i++)
        for (size_t t = 0; t < targets; t++)
            solution[i * targets + t] = right[t * n + i];
    free(many);
    if (!solved)
        return error_set(error, STATUS_NOT_FOUND,
                         "%zu values do not fix %zu unknowns: the points are too few or too alike",
                         problem->rows, n);
    return STATUS_OK;
}

static bool invert_normal(double *normal, double *inverse, double *scale, size_t n)
{
    gsl_matrix_view matrix = gsl_matrix_view_array(inverse, n, n);

    if (!equilibrate(normal, scale, n) || !cholesky(normal, n))
        return false;
    memcpy(inverse, normal, n * n * sizeof *inverse);
    gsl_linalg_cholesky_invert(&matrix.matrix);
    for (size_t i = 0; i < n; i++)
        for (size_t j = 0; j < n; j++)
            inverse[i * n + j] *= scale[i] * scale[j];
    return true;
}

enum status linear_invert_symmetric(double *matrix, size_t n, double *inverse, struct error *error)
{
    double *scale = memory_array(n, sizeof *scale, "an inverse", error);
    bool inverted;

    if (!scale)
        return error->status;
    inverted = invert_normal(matrix, inverse, scale, n);
    free(scale);
    return inverted ? STATUS_OK : unfixed(n, error);
}

enum status linear_covariance(const struct linear_problem *problem, double *covariance,
                              struct error *error)
{
    struct linear_problem without_target = *problem;
    size_t n = problem->columns;
    double *normal = memory_array(n * (2 * n + 1), sizeof *normal, "a covariance", error);
    bool inverted;

    if (!normal)
        return error->status;
    without_target.targets = 0;
    normal_equations(&without_target, normal, NULL);
    inverted = invert_normal(normal, normal + n * n, normal + 2 * n * n, n);
    if (inverted)
        memcpy(covariance, normal + n * n, n * n * sizeof *covariance);
    free(normal);
    if (!inverted)
        return error_set(error, STATUS_NOT_FOUND,
                         "%zu values do not fix %zu unknowns: the points are too few or too alike",
                         problem->rows, n);
    return STATUS_OK;
}

struct minimiser {
    double *jacobian;
    double *residual;
    double *trial_residual;
    double *trial;
    double *step;
    double *ridge;
    double *buffer; /* the one allocation */
};

static enum status minimiser_create(const struct linear_residuals *problem,
                                    struct minimiser *minimiser, struct error *error)
{
    size_t n = problem->parameters;
    size_t m = problem->residuals;
    double *next = memory_array(m * n + 2 * m + 3 * n, sizeof *next, "a fit", error);

    if (!next)
        return error->status;
    *minimiser = (struct minimiser){.buffer = next,
                                    .jacobian = next,
                                    .residual = next + m * n,
                                    .trial_residual = next + m * n + m,
                                    .trial = next + m * n + 2 * m,
                                    .step = next + m * n + 2 * m + n,
                                    .ridge = next + m * n + 2 * m + 2 * n};
    return STATUS_OK;
}

static double sum_of_squares(const double *values, size_t count)
{
    double sum = 0;

    for (size_t i = 0; i < count; i++)
        sum += values[i] * values[i];
    return sum;
}

static void differentiate(const struct linear_residuals *problem, const double *at,
                          struct minimiser *minimiser)
{
    size_t n = problem->parameters;

    memcpy(minimiser->trial, at, n * sizeof *at);
    for (size_t j = 0; j < n; j++) {
        double h = DERIVATIVE_STEP * (1 + fabs(at[j]));

        minimiser->trial[j] = at[j] + h;
        problem->evaluate(minimiser->trial, problem->context, minimiser->trial_residual);
        minimiser->trial[j] = at[j];
        for (size_t i = 0; i < problem->residuals; i++)
            minimiser->jacobian[i * n + j] =
                (minimiser->trial_residual[i] - minimiser->residual[i]) / h;
    }
    for (size_t j = 0; j < n; j++) {
        minimiser->ridge[j] = 0;
        for (size_t i = 0; i < problem->residuals; i++)
            minimiser->ridge[j] += minimiser->jacobian[i * n + j] * minimiser->jacobian[i * n + j];
    }
}

/* One damped Gauss-Newton step; STATUS_NOT_FOUND when it does not lower the sum of squares. */
static enum status try_step(const struct linear_residuals *problem, double damping, double *at,
                            double *best, struct minimiser *minimiser, struct error *error)
{
    size_t n = problem->parameters;
    enum status status;
    struct linear_problem linear = {
        minimiser->jacobian, minimiser->residual, NULL, minimiser->trial, problem->residuals, n, 1};
    double sum;

    for (size_t j = 0; j < n; j++)
        minimiser->trial[j] = damping * minimiser->ridge[j] + SINGULAR;
    status = linear_least_squares(&linear, minimiser->step, error);
    if (status)
        return status == STATUS_MEMORY ? status : STATUS_NOT_FOUND;
    for (size_t j = 0; j < n; j++)
        minimiser->trial[j] = at[j] - minimiser->step[j];
    problem->evaluate(minimiser->trial, problem->context, minimiser->trial_residual);
    sum = sum_of_squares(minimiser->trial_residual, problem->residuals);
    if (!(sum < *best))
        return STATUS_NOT_FOUND;
    *best = sum;
    memcpy(at, minimiser->trial, n * sizeof *at);
    memcpy(minimiser->residual, minimiser->trial_residual, problem->residuals * sizeof *at);
    return STATUS_OK;
}

enum status linear_minimise(const struct linear_residuals *problem, double *solution,
                            struct error *error)
{
    struct minimiser minimiser = {0};
    double damping = DAMPING_START;
    double best;
    enum status status = minimiser_create(problem, &minimiser, error);

    if (status)
        return status;
    problem->evaluate(solution, problem->context, minimiser.residual);
    best = sum_of_squares(minimiser.residual, problem->residuals);
    for (int i = 0; status != STATUS_MEMORY && i < problem->iterations && damping < DAMPING_MAX;
         i++) {
        double before = best;

        differentiate(problem, solution, &minimiser);
        do
            status = try_step(problem, damping, solution, &best, &minimiser, error);
        while (status == STATUS_NOT_FOUND && (damping *= 10) < DAMPING_MAX);
        damping /= 10;
        if (before - best < 1e-9 * before)
            break;
    }
    free(minimiser.buffer);
    if (status == STATUS_MEMORY)
        return status;
    if (!isfinite(best))
        return error_set(error, STATUS_NOT_FOUND, "a fit of %zu values has no finite start",
                         problem->residuals);
    return STATUS_OK;
}

static bool is_regular(const double *factors, size_t count)
{
    for (size_t i = 0; i < count; i++)
        if (!isfinite(factors[i * count + i]) || factors[i * count + i] == 0)
            return false;
    return true;
}

enum status linear_solve(double *matrix, double *vector, size_t count, struct error *error)
{
    gsl_matrix_view a = gsl_matrix_view_array(matrix, count, count);
    gsl_vector_view b = gsl_vector_view_array(vector, count);
    gsl_permutation *order = gsl_permutation_alloc(count);
    enum status status = STATUS_OK;
    int sign;

    if (!order)
        return error_set(error, STATUS_MEMORY, "no memory for a system of %zu equations", count);
    gsl_linalg_LU_decomp(&a.matrix, order, &sign);
    if (is_regular(matrix, count))
        gsl_linalg_LU_svx(&a.matrix, order, &b.vector);
    else
        status = error_set(error, STATUS_NOT_FOUND, "a system of %zu equations is singular", count);
    gsl_permutation_free(order);
    return status;
}

void linear_invert_3x3(const double matrix[9], double inverse[9])
{
    const double *m = matrix;
    double determinant;

    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++) {
            int r1 = (j + 1) % 3, r2 = (j + 2) % 3, c1 = (i + 1) % 3, c2 = (i + 2) % 3;

            inverse[3 * i + j] = m[3 * r1 + c1] * m[3 * r2 + c2] - m[3 * r1 + c2] * m[3 * r2 + c1];
        }
    determinant = m[0] * inverse[0] + m[1] * inverse[3] + m[2] * inverse[6];
    for (int i = 0; i < 9; i++)
        inverse[i] = fabs(determinant) > 0 ? inverse[i] / determinant : 0;
}

void linear_root_3x3(const double matrix[9], double root[9])
{
    for (int i = 0; i < 9; i++)
        root[i] = 0;
    for (int i = 0; i < 3; i++)
        for (int j = 0; j <= i; j++) {
            double sum = matrix[3 * i + j];

            for (int k = 0; k < j; k++)
                sum -= root[3 * i + k] * root[3 * j + k];
            root[3 * i + j] = i == j ? sqrt(fmax(sum, 1e-12)) : sum / root[3 * j + j];
        }
}

void linear_apply_3x3(const double matrix[9], const double vector[3], double product[3])
{
    for (int i = 0; i < 3; i++)
        product[i] = matrix[3 * i] * vector[0] + matrix[3 * i + 1] * vector[1] +
                     matrix[3 * i + 2] * vector[2];
}

void linear_carry_3x3(const double matrix[9], const double covariance[9], double carried[9])
{
    double half[9], transpose[9];

    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            transpose[3 * i + j] = matrix[3 * j + i];
    linear_multiply_3x3(matrix, covariance, half);
    linear_multiply_3x3(half, transpose, carried);
}

void linear_multiply_3x3(const double a[9], const double b[9], double product[9])
{
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            product[3 * i + j] =
                a[3 * i] * b[j] + a[3 * i + 1] * b[3 + j] + a[3 * i + 2] * b[6 + j];
}

void linear_eigenvalues_3x3(const double matrix[9], double values[3])
{
    double copy[9];
    gsl_matrix_view view = gsl_matrix_view_array(copy, 3, 3);
    gsl_vector_view out = gsl_vector_view_array(values, 3);
    double diagonal[3], beside[3]; /* GSL ends the program where it can't allocate these itself */
    gsl_eigen_symm_workspace workspace = {3, diagonal, beside};

    memcpy(copy, matrix, sizeof copy);
    gsl_eigen_symm(&view.matrix, &out.vector, &workspace);
    gsl_sort_vector(&out.vector);
    gsl_vector_reverse(&out.vector);
}
