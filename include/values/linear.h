#ifndef WOAD_VALUES_LINEAR_H
#define WOAD_VALUES_LINEAR_H

#include "base/error.h"

#include <stddef.h>

/* Small dense linear algebra, row-major; the home of GSL's linear algebra. */

/**
 * Solve a weighted linear least-squares problem, ridge-regularised.
 *
 * Shape:   `design` rows x columns; `target` rows x targets; `weight` NULL or
 *          rows (weights of the squared residuals); `ridge` NULL or columns
 *          (added to the normal matrix's diagonal); `solution` columns x targets.
 * Returns: STATUS_OK; STATUS_NOT_FOUND if the problem is singular; STATUS_MEMORY.
 */
struct linear_problem {
    const double *design;
    const double *target;
    const double *weight;
    const double *ridge;
    size_t rows;
    size_t columns;
    size_t targets;
};
MUST_USE enum status linear_least_squares(const struct linear_problem *problem, double *solution,
                                          struct error *error);

/**
 * The inverse of the normal matrix: the solution's covariance where the
 * weights are the reciprocals of the rows' variances.
 *
 * Shape:   `covariance` columns x columns; the problem's target is not read.
 * Returns: STATUS_OK; STATUS_NOT_FOUND if the problem is singular; STATUS_MEMORY.
 */
MUST_USE enum status linear_covariance(const struct linear_problem *problem, double *covariance,
                                       struct error *error);

/**
 * Solve symmetric positive equations whose matrix is at hand, of which the lower triangle is read.
 *
 * Shape:   `matrix` n x n, spoilt; `right` targets x n, each line a right-hand
 *          side that becomes its solution.
 * Returns: STATUS_OK; STATUS_NOT_FOUND if the matrix is singular; STATUS_MEMORY.
 */
MUST_USE enum status linear_solve_symmetric(double *matrix, size_t n, double *right, size_t targets,
                                            struct error *error);

/**
 * Invert a symmetric positive matrix, n x n, which is spoilt; fails as linear_solve_symmetric.
 *
 * Returns: STATUS_OK; STATUS_NOT_FOUND if it is not positive; STATUS_MEMORY.
 */
MUST_USE enum status linear_invert_symmetric(double *matrix, size_t n, double *inverse,
                                             struct error *error);

/**
 * The logarithm of a symmetric positive matrix's determinant; fails as linear_solve_symmetric.
 *
 * Returns: STATUS_OK; STATUS_NOT_FOUND if it is not positive; STATUS_MEMORY.
 */
MUST_USE enum status linear_log_determinant(const double *matrix, size_t n, double *logarithm,
                                            struct error *error);

/**
 * The logarithm of the density of a normal distribution about 0, up to a constant.
 *
 * Shape:   `covariance` n x n, spoilt; `vector` n.
 * Returns: as linear_solve_symmetric.
 */
MUST_USE enum status linear_log_likelihood(double *covariance, size_t n, const double *vector,
                                           double *logarithm, struct error *error);

/**
 * Minimise a sum of squared residuals by Levenberg and Marquardt's method.
 *
 * Shape:   `evaluate` fills `residuals` values from `parameters` values;
 *          `solution` holds the start and, on success, the end.
 * Returns: STATUS_OK, also when the iterations run out with the sum lowered;
 *          STATUS_NOT_FOUND if no step lowers a singular start; STATUS_MEMORY.
 */
struct linear_residuals {
    void (*evaluate)(const double *parameters, void *context, double *residuals);
    void *context;
    size_t parameters;
    size_t residuals;
    int iterations;
};
MUST_USE enum status linear_minimise(const struct linear_residuals *problem, double *solution,
                                     struct error *error);

/**
 * Solve a square system of equations, by LU decomposition with pivots.
 *
 * Shape:   `matrix` count x count, destroyed; `vector` the right-hand side, and
 *          on success the solution.
 * Returns: STATUS_OK; STATUS_NOT_FOUND if the system is singular; STATUS_MEMORY.
 */
MUST_USE enum status linear_solve(double *matrix, double *vector, size_t count,
                                  struct error *error);

/** Invert a 3 x 3 matrix; a singular one gives zeros. */
void linear_invert_3x3(const double matrix[9], double inverse[9]);

/** The lower triangular root of a symmetric positive 3 x 3 matrix: root * root' is the matrix. */
void linear_root_3x3(const double matrix[9], double root[9]);

/** Multiply a 3-vector by a 3 x 3 matrix. */
void linear_apply_3x3(const double matrix[9], const double vector[3], double product[3]);

/** Carry a covariance through a linear map: matrix * covariance * matrix'. */
void linear_carry_3x3(const double matrix[9], const double covariance[9], double carried[9]);

/** Multiply 3 x 3 matrices. */
void linear_multiply_3x3(const double a[9], const double b[9], double product[9]);

/**
 * The eigenvalues of a symmetric 3 x 3 matrix, largest first.
 */
void linear_eigenvalues_3x3(const double matrix[9], double values[3]);

#endif
