/*
 * Learn what is known of a colour model before the card is looked at, and
 * print it as src/correction/colour_prior.c: how its coefficients vary over
 * simulated worlds (cameras, lights, looks, cards and inks), and how far
 * surfaces stray from it. By expectation and maximisation over worlds.
 */
#include "accuracy/simulation.h"

#include "correction/colour_fit.h"
#include "correction/tone.h"
#include "values/linear.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <gsl/gsl_linalg.h>

#define PHOTOS 1500
#define PHOTOS_PER_CARDS 25
#define PATCH_STRUCTURE 0.3 /* logits: the newer edition's pigments are not published */
#define U COLOUR_UNKNOWNS
#define ROUNDS 10
#define CLIPPED_MAX 0.02
#define START_VARIANCE 4.0
#define VARIANCE_MIN 1e-6
#define MATRIX_PHOTOS 200

static const enum simulation_grade grades[COLOUR_WORLDS] = {
    SIMULATION_LEARNING_PLAIN, SIMULATION_LEARNING_LOOK, SIMULATION_LEARNING_RAW};

/* A photo's normal equations, in delta E 2000 axes. */
struct equations {
    double normal[U * U];
    double right[U];
    double squares; /* of what is wanted */
    double rows;
};

struct learnt {
    double matrix[9];
    double mean[U];
    double covariance[U * U];
    double variance; /* of a surface, per axis */
    struct equations photo[PHOTOS];
    int photos;
};

/* --- one photo --- */

static void add_surface(const struct colour_model *model, struct rgb rgb, struct lab lab,
                        struct equations *equations)
{
    struct lab straight = colour_model_straight(model, rgb);
    const double off[3] = {lab.L - straight.L, lab.a - straight.a, lab.b - straight.b};
    double terms[COLOUR_TERMS], whitener[9], wanted[3], rows[3][U];

    colour_model_terms(straight, terms);
    colour_whitener(lab, whitener);
    linear_apply_3x3(whitener, off, wanted);
    for (int q = 0; q < 3; q++) {
        for (int p = 0; p < U; p++)
            rows[q][p] = whitener[3 * q + p % 3] * terms[p / 3];
        for (int p = 0; p < U; p++) {
            equations->right[p] += rows[q][p] * wanted[q];
            for (int r = 0; r < U; r++)
                equations->normal[p * U + r] += rows[q][p] * rows[q][r];
        }
        equations->squares += wanted[q] * wanted[q];
    }
    equations->rows += 3;
}

static struct tone undo_tone(const struct simulation_photo *photo, const struct colour_model *model)
{
    struct tone_neutral neutrals[CARD_NEUTRALS];
    struct tone tone = tone_identity();
    struct error ignored;
    int count = 0;

    for (int i = CARD_FIRST_NEUTRAL; i < CARD_PATCHES; i++)
        if (photo->input.use_patch[i])
            neutrals[count++] = (struct tone_neutral){
                photo->input.patch[i].rgb_linear,
                colour_model_straight_inverse(model, photo->input.card->patch[i])};
    if (!photo->input.raw && tone_fit(neutrals, count, &tone, &ignored))
        return tone_identity();
    return tone;
}

/* The card's patches as the correction sees them, tone undone, and the model's scale. */
static int take_patches(const struct simulation_photo *photo, const struct tone *tone,
                        struct colour_patch patches[CARD_PATCHES], struct colour_model *model)
{
    int count = simulation_patches(photo, patches);

    for (int i = 0; i < count; i++)
        patches[i].scene_linear = tone_undo_rgb(tone, patches[i].scene_linear);
    colour_fit_scale(patches, count, model->scale);
    return count;
}

static void write_equations(const struct simulation_photo *photo, struct learnt *learnt)
{
    struct equations *equations = &learnt->photo[learnt->photos++];
    struct colour_model model = {.scale = {1, 1, 1}};
    struct colour_patch patches[CARD_PATCHES];
    struct tone tone;
    int count;

    memset(equations, 0, sizeof *equations);
    memcpy(model.matrix, learnt->matrix, sizeof model.matrix);
    tone = undo_tone(photo, &model);
    count = take_patches(photo, &tone, patches, &model);
    for (int i = 0; i < count; i++)
        add_surface(&model, patches[i].scene_linear, patches[i].lab, equations);
    for (int i = 0; i < SIMULATION_CELLS; i++)
        if (!photo->cell_clipped[i])
            add_surface(&model, tone_undo_rgb(&tone, photo->cell[i].rgb_linear), photo->truth[i],
                        equations);
}

/* A light can be so unlike the maker's that greys lack a channel: no one keeps such a photo. */
static bool shows_greys(const struct simulation_photo *photo)
{
    bool shown = true;

    for (int i = CARD_FIRST_NEUTRAL; i < CARD_PATCHES; i++)
        shown = shown && photo->input.use_patch[i];
    return shown;
}

static void take_photos(struct simulation_world *world, enum simulation_grade grade,
                        struct learnt *learnt)
{
    static struct simulation_photo photo;
    struct random random = {9};

    for (uint64_t seed = 0; learnt->photos < PHOTOS; seed++) {
        if (seed % PHOTOS_PER_CARDS == 0)
            simulation_draw_cards(world, &random, PATCH_STRUCTURE);
        simulation_take(world, grade, 20000 + seed, &photo);
        if (shows_greys(&photo))
            write_equations(&photo, learnt);
    }
}

/* --- the straight part's matrix --- */

/* Rows that add up to 1 take greys to greys. Source of sRGB's: IEC 61966-2-1 with the Bradford
 * adaptation, from memory. */
static void level_rows(double matrix[9])
{
    for (int row = 0; row < 3; row++) {
        double sum = matrix[3 * row] + matrix[3 * row + 1] + matrix[3 * row + 2];

        for (int k = 0; k < 3; k++)
            matrix[3 * row + k] /= sum;
    }
}

static void srgb_matrix(double matrix[9])
{
    static const double xyz_from_srgb[9] = {0.4360747, 0.3850649, 0.1430804, 0.2225045, 0.7168786,
                                            0.0606169, 0.0139322, 0.0971045, 0.7141733};

    memcpy(matrix, xyz_from_srgb, sizeof xyz_from_srgb);
    level_rows(matrix);
}

/* The best for the inks of many sensors together, relative to their luminance. */
static enum status sensor_matrix(const struct simulation_world *world, double matrix[9],
                                 struct error *error)
{
    static struct simulation_photo photo;
    static double design[MATRIX_PHOTOS * SIMULATION_CELLS * 3], target[sizeof design / 8];
    static double weight[MATRIX_PHOTOS * SIMULATION_CELLS];
    const struct xyz white = colour_white();
    double solution[9];
    size_t rows = 0;
    enum status status;

    for (uint64_t seed = 0; seed < MATRIX_PHOTOS; seed++) {
        struct colour_patch patches[CARD_PATCHES];
        double scale[3];

        simulation_take(world, SIMULATION_LEARNING_RAW, 90000 + seed, &photo);
        colour_fit_scale(patches, simulation_patches(&photo, patches), scale);
        for (int i = 0; i < SIMULATION_CELLS; i++, rows++) {
            struct xyz xyz = colour_xyz_from_lab(photo.truth[i]);
            const double over_white[3] = {xyz.X / white.X, xyz.Y / white.Y, xyz.Z / white.Z};

            for (int k = 0; k < 3; k++)
                design[3 * rows + (size_t)k] = photo.cell[i].rgb_linear.channel[k] / scale[k];
            memcpy(target + 3 * rows, over_white, sizeof over_white);
            weight[rows] = pow(xyz.Y + 0.02, -2);
        }
    }
    status = linear_least_squares(
        &(struct linear_problem){design, target, weight, NULL, rows, 3, 3}, solution, error);
    for (int i = 0; !status && i < 9; i++)
        matrix[i] = solution[3 * (i % 3) + i / 3];
    level_rows(matrix);
    return status;
}

/* --- what worlds have in common --- */

/* What is believed of coefficients: all photos' or one's. */
struct belief {
    double mean[U];
    double covariance[U * U];
};

/* A photo's own coefficients, given those of all: `pulled` is precision times their mean. */
static enum status expect(const struct equations *photo, const double *precision,
                          const double *pulled, double variance, struct belief *belief,
                          struct error *error)
{
    double matrix[U * U];
    enum status status;

    for (int i = 0; i < U * U; i++)
        matrix[i] = photo->normal[i] / variance + precision[i];
    status = linear_invert_symmetric(matrix, U, belief->covariance, error);
    for (int p = 0; p < U; p++) {
        belief->mean[p] = 0;
        for (int q = 0; q < U; q++)
            belief->mean[p] +=
                belief->covariance[p * U + q] * (photo->right[q] / variance + pulled[q]);
    }
    return status;
}

/* The mean sum of squares that a photo's coefficients leave. */
static double squares_left(const struct equations *photo, const struct belief *belief)
{
    const double *mean = belief->mean;
    double sum = photo->squares;

    for (int p = 0; p < U; p++) {
        sum -= 2 * mean[p] * photo->right[p];
        for (int q = 0; q < U; q++)
            sum += photo->normal[p * U + q] * (mean[p] * mean[q] + belief->covariance[p * U + q]);
    }
    return sum;
}

static enum status improve(struct learnt *learnt, struct error *error)
{
    double copy[U * U], precision[U * U], pulled[U] = {0};
    double sum[U] = {0}, products[U * U] = {0}, squares = 0, rows = 0;
    struct belief belief;
    enum status status;

    memcpy(copy, learnt->covariance, sizeof copy);
    status = linear_invert_symmetric(copy, U, precision, error);
    for (int i = 0; i < U * U; i++)
        pulled[i / U] += precision[i] * learnt->mean[i % U];
    for (int i = 0; !status && i < PHOTOS; i++) {
        const struct equations *photo = &learnt->photo[i];

        status = expect(photo, precision, pulled, learnt->variance, &belief, error);
        for (int p = 0; p < U; p++)
            sum[p] += belief.mean[p] / PHOTOS;
        for (int p = 0; p < U * U; p++)
            products[p] +=
                (belief.mean[p / U] * belief.mean[p % U] + belief.covariance[p]) / PHOTOS;
        squares += squares_left(photo, &belief);
        rows += photo->rows;
    }
    memcpy(learnt->mean, sum, sizeof sum);
    for (int p = 0; p < U * U; p++)
        learnt->covariance[p] = products[p] - sum[p / U] * sum[p % U];
    for (int p = 0; p < U; p++)
        learnt->covariance[p * (U + 1)] += VARIANCE_MIN;
    learnt->variance = squares / rows;
    return status;
}

static enum status learn(struct simulation_world *world, enum colour_world which,
                         struct learnt *learnt, struct error *error)
{
    enum status status = STATUS_OK;

    memset(learnt, 0, sizeof *learnt);
    srgb_matrix(learnt->matrix);
    if (which == COLOUR_RAW)
        status = sensor_matrix(world, learnt->matrix, error);
    take_photos(world, grades[which], learnt);
    learnt->variance = 1;
    for (int p = 0; p < U; p++)
        learnt->covariance[p * (U + 1)] = START_VARIANCE;
    for (int round = 0; !status && round < ROUNDS; round++)
        status = improve(learnt, error);
    return status;
}

/* --- printing it --- */

static void print_numbers(const double *numbers, int count)
{
    for (int i = 0; i < count; i++)
        printf("%s%.5g", i ? ", " : "{", numbers[i]);
    printf("},\n");
}

static void print_world(struct learnt *learnt)
{
    gsl_matrix_view view = gsl_matrix_view_array(learnt->covariance, U, U);
    const char *between = "{";

    gsl_linalg_cholesky_decomp1(&view.matrix);
    printf("{");
    print_numbers(learnt->matrix, 9);
    print_numbers(learnt->mean, U);
    for (int row = 0; row < U; row++)
        for (int column = 0; column <= row; column++, between = ", ")
            printf("%s%.4g", between, learnt->covariance[row * U + column]);
    printf("},\n%.4g},\n", sqrt(learnt->variance));
}

int main(void)
{
    static struct simulation_world world;
    struct learnt *learnt = malloc(sizeof *learnt);
    struct error error;

    if (!learnt)
        return STATUS_MEMORY;
    simulation_world_create(&world);
    printf("/* Written by tests/accuracy/learn_prior.c: make prior. */\n"
           "#include \"colour_prior.h\"\n\n"
           "const struct colour_prior colour_priors[COLOUR_WORLDS] = {\n");
    for (int which = 0; which < COLOUR_WORLDS; which++) {
        if (learn(&world, (enum colour_world)which, learnt, &error)) {
            fprintf(stderr, "%s\n", error.message);
            free(learnt);
            return (int)error.status;
        }
        print_world(learnt);
    }
    printf("};\n");
    free(learnt);
    return 0;
}
