#include "drying_curve.h"

#include "magnitude.h"
#include "analysis/perceptual.h"
#include "base/memory.h"
#include "values/linear.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* --- the weighted fit ----------------------------------------------------------------------- */

/* Three rows for one reading, in its own deviations. */
static void fill_rows(const struct drying_point *point, const double *shape, size_t unknowns,
                      double *design, double *target)
{
    const double lab[3] = {point->lab.L, point->lab.a, point->lab.b};

    linear_apply_3x3(point->whitener, lab, target);
    for (size_t i = 0; i < 3; i++)
        for (size_t j = 0; j < 3; j++) {
            design[i * unknowns + j] = point->whitener[3 * i + j];
            if (shape)
                design[i * unknowns + 3 + j] = point->whitener[3 * i + j] * *shape;
        }
}

static double square_left(const double *design, const double *target, const double *solution,
                          size_t rows, size_t unknowns)
{
    double sum = 0;

    for (size_t i = 0; i < rows; i++) {
        double left = target[i];

        for (size_t j = 0; j < unknowns; j++)
            left -= design[i * unknowns + j] * solution[j];
        sum += left * left;
    }
    return sum;
}

enum status drying_solve(const struct drying_point *points, size_t count, const double *shapes,
                         struct drying_solution *solution, struct error *error)
{
    size_t unknowns = shapes ? 6 : 3, rows = 3 * count;
    double *design = memory_array(rows * (unknowns + 1), sizeof *design, "a fit", error);
    double *target = design ? design + rows * unknowns : NULL;
    struct linear_problem problem = {
        .design = design, .target = target, .rows = rows, .columns = unknowns, .targets = 1};
    enum status status;

    if (!design)
        return error->status;
    for (size_t i = 0; i < count; i++)
        fill_rows(&points[i], shapes ? &shapes[i] : NULL, unknowns, design + 3 * i * unknowns,
                  target + 3 * i);
    memset(solution, 0, sizeof *solution);
    status = linear_least_squares(&problem, solution->unknowns, error);
    if (!status)
        status = linear_covariance(&problem, solution->covariance, error);
    solution->solved = !status;
    if (!status)
        solution->left_square = square_left(design, target, solution->unknowns, rows, unknowns);
    free(design);
    return status == STATUS_NOT_FOUND ? STATUS_OK : status; /* `solved` tells */
}

/* --- a line --------------------------------------------------------------------------------- */

static void take_block(const struct drying_solution *solution, size_t unknowns, size_t first,
                       double block[9])
{
    for (size_t i = 0; i < 9; i++)
        block[i] = solution->covariance[(first + i / 3) * unknowns + first + i % 3];
}

static void take_drift(const struct drying_solution *solution, double scale_s,
                       struct drying_line *line)
{
    double block[9], inverse[9], carried[3];

    for (int i = 0; i < 3; i++)
        line->rate[i] = solution->unknowns[3 + i] / scale_s;
    take_block(solution, 6, 3, block);
    for (int i = 0; i < 9; i++)
        line->covariance_rate[i] = block[i] / (scale_s * scale_s);
    linear_invert_3x3(block, inverse);
    linear_apply_3x3(inverse, solution->unknowns + 3, carried);
    for (int i = 0; i < 3; i++)
        line->moved_square += solution->unknowns[3 + i] * carried[i];
}

enum status drying_line_fit(const struct drying_point *points, size_t count, bool drift,
                            struct drying_line *line, struct error *error)
{
    struct drying_solution solution;
    double *shapes = memory_array(count, sizeof *shapes, "a fit", error);
    double first_s = points[0].t_s, scale_s = fmax(points[count - 1].t_s - first_s, 1);
    enum status status;

    memset(line, 0, sizeof *line);
    if (!shapes)
        return error->status;
    for (size_t i = 0; i < count; i++)
        shapes[i] = (points[i].t_s - first_s) / scale_s - 0.5;
    status = drying_solve(points, count, drift ? shapes : NULL, &solution, error);
    free(shapes);
    if (status || !solution.solved)
        return status;
    line->level = (struct lab){solution.unknowns[0], solution.unknowns[1], solution.unknowns[2]};
    line->left_square = solution.left_square;
    take_block(&solution, drift ? 6 : 3, 0, line->covariance_level);
    if (drift)
        take_drift(&solution, scale_s, line);
    return STATUS_OK;
}

struct drying_figure drying_line_rate(const struct drying_line *line, double seconds)
{
    struct magnitude magnitude = {.freedom = INFINITY};
    struct drying_figure rate;
    double frame[9], covariance[9];
    const double *difference = magnitude.difference;

    perceptual_frame(line->level, frame);
    linear_apply_3x3(frame, line->rate, magnitude.difference);
    linear_carry_3x3(frame, line->covariance_rate, covariance);
    for (int i = 0; i < 3; i++)
        magnitude.difference[i] *= seconds;
    for (int i = 0; i < 9; i++)
        magnitude.covariance[i] = covariance[i] * seconds * seconds;
    rate.value = sqrt(difference[0] * difference[0] + difference[1] * difference[1] +
                      difference[2] * difference[2]);
    magnitude_interval(&magnitude, &rate.low, &rate.high);
    return rate;
}
