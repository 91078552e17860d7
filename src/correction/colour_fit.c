#include "colour_fit.h"

#include "colour_prior.h"
#include "values/linear.h"
#include "values/statistics.h"

#include <math.h>
#include <string.h>

#define PARAMETERS_MAX (3 * COLOUR_TERMS_MAX)
#define ROWS_MAX (3 * COLOUR_PATCHES_MAX + PARAMETERS_MAX)
#define STEPS 4
#define USUAL_MIN 0.3 /* delta E 2000: errors this small are never called unusual */
#define TUKEY 8.0
#define START_RIDGE 30.0
#define LAB_KAPPA (24389.0 / 27.0)
#define LAB_EPSILON (216.0 / 24389.0)

/* --- slopes --- */

static double lab_function_slope(double t)
{
    double root = cbrt(t);

    return t > LAB_EPSILON ? 1 / (3 * root * root) : LAB_KAPPA / 116;
}

/* The derivative of Lab by XYZ. Source: CIE 015:2018, differentiated. */
static void lab_slopes(struct xyz xyz, double slopes[9])
{
    struct xyz white = colour_white();
    double fx = lab_function_slope(xyz.X / white.X) / white.X;
    double fy = lab_function_slope(xyz.Y / white.Y) / white.Y;
    double fz = lab_function_slope(xyz.Z / white.Z) / white.Z;
    double values[9] = {0, 116 * fy, 0, 500 * fx, -500 * fy, 0, 0, 200 * fy, -200 * fz};

    memcpy(slopes, values, sizeof values);
}

static struct lab lab_minus(struct lab a, struct lab b)
{
    return (struct lab){a.L - b.L, a.a - b.a, a.b - b.b};
}

/* --- scale --- */

void colour_fit_scale(const struct colour_patch *patches, int count, double scale[3])
{
    struct xyz white = colour_white();
    double wanted[3] = {0, 0, 0}, seen[3] = {0, 0, 0};

    for (int i = 0; i < count; i++) {
        struct xyz xyz = colour_xyz_from_lab(patches[i].lab);
        double parts[3] = {xyz.X / white.X, xyz.Y / white.Y, xyz.Z / white.Z};

        for (int k = 0; k < 3 && patches[i].index >= CARD_FIRST_NEUTRAL; k++) {
            wanted[k] += patches[i].weight * parts[k];
            seen[k] += patches[i].weight * patches[i].scene_linear.channel[k];
        }
    }
    for (int k = 0; k < 3; k++)
        scale[k] = seen[k] / wanted[k];
}

/* --- fitting --- */

/* Residuals in delta E 2000, or in what was learnt of each patch, and their slopes; the rows that
 * hold the coefficients follow the patches'. */
struct fit {
    const struct colour_patch *patches;
    int count;
    int terms;
    size_t parameters;
    size_t rows;
    double term[COLOUR_PATCHES_MAX][COLOUR_TERMS_MAX];
    double whitener[COLOUR_PATCHES_MAX][9];
    double slopes[ROWS_MAX * PARAMETERS_MAX];
    double residual[ROWS_MAX];
};

/* A factor of the precision to which the model is held at a patch. */
static void hold_patch(const struct colour_patch *patch, enum colour_form form, double factor[9])
{
    const double *u = colour_prior.patch[patch->index];
    double learnt[9] = {u[0], u[1], u[2], 0, u[3], u[4], 0, 0, u[5]};

    if (form == COLOUR_LEARNT)
        memcpy(factor, learnt, sizeof learnt);
    else
        colour_whitener(patch->lab, factor);
}

static void fit_prepare(const struct colour_patch *patches, int count,
                        const struct colour_model *model, struct fit *fit)
{
    fit->patches = patches;
    fit->count = count;
    fit->terms = colour_model_terms(model->form);
    fit->parameters = 3 * (size_t)fit->terms;
    fit->rows = 3 * (size_t)count + fit->parameters;
    for (int i = 0; i < count; i++) {
        colour_model_evaluate(model, patches[i].scene_linear, fit->term[i]);
        hold_patch(&patches[i], model->form, fit->whitener[i]);
    }
}

/* It holds down what the plain matrix does not have. */
static double ridge_of(const struct colour_model *model, int term)
{
    return term < 3 || model->form == COLOUR_MATRIX_OFFSET ? 1e-9 : model->ridge;
}

/* A straight fit to XYZ, relative to luminance, to start from. */
static enum status fit_start(const struct fit *fit, struct colour_model *model, struct error *error)
{
    double design[COLOUR_PATCHES_MAX * COLOUR_TERMS_MAX], target[COLOUR_PATCHES_MAX * 3];
    double weight[COLOUR_PATCHES_MAX], ridge[COLOUR_TERMS_MAX];
    struct linear_problem problem = {
        design, target, weight, ridge, (size_t)fit->count, (size_t)fit->terms, 3};

    for (int i = 0; i < fit->count; i++) {
        struct xyz xyz = colour_xyz_from_lab(fit->patches[i].lab);
        double wanted[3] = {xyz.X, xyz.Y, xyz.Z};

        memcpy(design + i * fit->terms, fit->term[i], (size_t)fit->terms * sizeof *design);
        memcpy(target + 3 * i, wanted, sizeof wanted);
        weight[i] = 1e3 * fit->patches[i].weight / (xyz.Y + 0.01);
    }
    for (int j = 0; j < fit->terms; j++)
        ridge[j] = model->form == COLOUR_LEARNT && j >= 3 ? START_RIDGE : ridge_of(model, j);
    return linear_least_squares(&problem, &model->coefficient[0][0], error);
}

static void linearise_patch(const struct colour_model *model, int i, struct fit *fit)
{
    const double *terms = fit->term[i];
    struct xyz xyz = colour_model_sum(model, terms);
    struct lab off = lab_minus(colour_lab_from_xyz(xyz), fit->patches[i].lab);
    double difference[3] = {off.L, off.a, off.b};
    double weight = sqrt(fit->patches[i].weight);
    double lab[9], whitened[9];
    double *residual = fit->residual + 3 * i;

    lab_slopes(xyz, lab);
    linear_multiply_3x3(fit->whitener[i], lab, whitened);
    linear_apply_3x3(fit->whitener[i], difference, residual);
    for (int q = 0; q < 3; q++) {
        double *row = fit->slopes + (size_t)(3 * i + q) * fit->parameters;

        residual[q] *= weight;
        for (int j = 0; j < fit->terms; j++)
            for (int k = 0; k < 3; k++)
                row[3 * j + k] = weight * whitened[3 * q + k] * terms[j];
    }
}

/* A ridge, which pulls every coefficient to nought by itself. */
static void hold_small(const struct colour_model *model, struct fit *fit)
{
    for (size_t p = 0; p < fit->parameters; p++) {
        size_t row = 3 * (size_t)fit->count + p;
        double root = sqrt(ridge_of(model, (int)p / 3));

        fit->slopes[row * fit->parameters + p] = root;
        fit->residual[row] = root * (&model->coefficient[0][0])[p];
    }
}

/* What was learnt, which pulls all of them together to the usual ones. */
static void hold_usual(const struct colour_model *model, struct fit *fit)
{
    const double *factor = colour_prior.factor;

    for (size_t q = 0; q < fit->parameters; q++) {
        size_t row = 3 * (size_t)fit->count + q;

        fit->residual[row] = 0;
        for (size_t p = q; p < fit->parameters; p++) {
            double off = (&model->coefficient[0][0])[p] - colour_prior.mean[p];

            fit->slopes[row * fit->parameters + p] = *factor;
            fit->residual[row] += *factor++ * off;
        }
    }
}

static void linearise(const struct colour_model *model, struct fit *fit)
{
    memset(fit->slopes, 0, fit->rows * fit->parameters * sizeof *fit->slopes);
    for (int i = 0; i < fit->count; i++)
        linearise_patch(model, i, fit);
    if (model->form == COLOUR_LEARNT)
        hold_usual(model, fit);
    else
        hold_small(model, fit);
}

static struct linear_problem problem_of(const struct fit *fit)
{
    return (struct linear_problem){fit->slopes, fit->residual,   NULL, NULL,
                                   fit->rows,   fit->parameters, 1};
}

/* Gauss and Newton's steps towards Lab; the start is near enough for no damping. */
static enum status fit_refine(struct fit *fit, struct colour_model *model, struct error *error)
{
    double step[PARAMETERS_MAX];
    enum status status = STATUS_OK;

    for (int i = 0; !status && i < STEPS; i++) {
        struct linear_problem problem = problem_of(fit);

        linearise(model, fit);
        status = linear_least_squares(&problem, step, error);
        for (size_t p = 0; !status && p < fit->parameters; p++)
            (&model->coefficient[0][0])[p] -= step[p];
    }
    linearise(model, fit);
    return status;
}

/* --- leaving one out --- */

/* One minus the influence of a patch on its own prediction, 3 x 3. */
static void own_influence(const struct fit *fit, const double *covariance, int patch,
                          double rest[9])
{
    size_t n = fit->parameters;
    const double *rows = fit->slopes + 3 * (size_t)patch * n;
    double carried[3][PARAMETERS_MAX] = {{0}};

    for (int q = 0; q < 3; q++)
        for (size_t a = 0; a < n; a++)
            for (size_t b = 0; b < n; b++)
                carried[q][a] += covariance[a * n + b] * rows[(size_t)q * n + b];
    for (int q = 0; q < 3; q++)
        for (int s = 0; s < 3; s++) {
            rest[3 * q + s] = q == s;
            for (size_t a = 0; a < n; a++)
                rest[3 * q + s] -= rows[(size_t)q * n + a] * carried[s][a];
        }
}

static struct lab unwhiten(const double whitener[9], const double whitened[3])
{
    double inverse[9], lab[3];

    linear_invert_3x3(whitener, inverse);
    linear_apply_3x3(inverse, whitened, lab);
    return (struct lab){lab[0], lab[1], lab[2]};
}

static double size_at(struct lab lab, struct lab off)
{
    return colour_delta_e_2000(lab, (struct lab){lab.L + off.L, lab.a + off.a, lab.b + off.b});
}

void colour_fit_check(const struct colour_patch *patches, int count,
                      const struct colour_model *model, struct colour_check *check)
{
    double sum = 0, weights = 0;

    for (int i = 0; i < count; i++) {
        check->residual[i] =
            lab_minus(colour_model_lab(model, patches[i].scene_linear), patches[i].lab);
        sum += patches[i].weight * size_at(patches[i].lab, check->left_out[i]);
        weights += patches[i].weight;
    }
    check->left_out_mean = sum / weights;
}

/*
 * The residual that each patch would have if it were left out, from the fit
 * with it: exact for a linear fit, and near it the fit is linear.
 */
static enum status leave_one_out(const struct fit *fit, const struct colour_model *model,
                                 struct colour_check *check, struct error *error)
{
    double covariance[PARAMETERS_MAX * PARAMETERS_MAX];
    struct linear_problem problem = problem_of(fit);
    enum status status = linear_covariance(&problem, covariance, error);

    if (status)
        return status;
    for (int i = 0; i < fit->count; i++) {
        struct lab off =
            lab_minus(colour_model_lab(model, fit->patches[i].scene_linear), fit->patches[i].lab);
        double difference[3] = {off.L, off.a, off.b};
        double whitened[3], rest[9], inverse[9], left_out[3];

        own_influence(fit, covariance, i, rest);
        linear_invert_3x3(rest, inverse);
        linear_apply_3x3(fit->whitener[i], difference, whitened);
        linear_apply_3x3(inverse, whitened, left_out);
        check->left_out[i] = unwhiten(fit->whitener[i], left_out);
    }
    colour_fit_check(fit->patches, fit->count, model, check);
    if (!isfinite(check->left_out_mean))
        return error_set(error, STATUS_NOT_FOUND, "the card's %d patches fix no colour model",
                         fit->count);
    return STATUS_OK;
}

enum status colour_fit(const struct colour_patch *patches, int count, struct colour_model *model,
                       struct colour_check *check, struct error *error)
{
    struct fit fit;
    enum status status;

    fit_prepare(patches, count, model, &fit);
    status = fit_start(&fit, model, error);
    if (!status)
        status = fit_refine(&fit, model, error);
    if (!status)
        status = leave_one_out(&fit, model, check, error);
    return status;
}

void colour_fit_reweigh(const struct colour_check *check, struct colour_patch *patches, int count)
{
    double sizes[COLOUR_PATCHES_MAX], sorted[COLOUR_PATCHES_MAX];
    double usual;

    for (int i = 0; i < count; i++)
        sizes[i] = sorted[i] = size_at(patches[i].lab, check->left_out[i]);
    usual = fmax(statistics_median(sorted, (size_t)count), USUAL_MIN);
    for (int i = 0; i < count; i++) {
        double share = sizes[i] / (TUKEY * usual);

        patches[i].weight = share < 1 ? (1 - share * share) * (1 - share * share) : 0;
    }
}
