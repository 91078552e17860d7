/*
 * Learn what is known of a colour model before the card is looked at, and
 * print it as src/correction/colour_prior.c: how its coefficients vary over
 * simulated cameras, lights and inks, and how far each patch's pigment strays
 * from the model that is best for inks.
 */
#include "accuracy/simulation.h"

#include "correction/colour_model.h"
#include "correction/colour_prior.h"
#include "values/linear.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include <gsl/gsl_linalg.h>

#define PHOTOS 6000
#define PHOTOS_PER_CARDS 25
#define PATCH_STRUCTURE 0.3 /* logits: the newer edition's pigments are not published */
#define SIZE COLOUR_PRIOR_SIZE
#define ROWS_MAX (3 * (SIMULATION_CELLS + CARD_PATCHES))

/* Holds the root terms of a photo's own model, of which 80 inks fix but a few. */
#define RIDGE 10.0
#define DEVIATION_MIN 0.5 /* delta E 2000: no patch is trusted further, for a photo errs too */
#define VARIANCE_MIN 1e-8

struct learnt {
    double coefficient[PHOTOS][SIZE];
    double patch[PHOTOS][CARD_PATCHES][3]; /* what the model leaves, in delta E 2000 axes */
    int photos;
};

/* --- one photo --- */

/* A photo's equations: whitened slopes of Lab by coefficient, and what they should make. */
struct equations {
    double design[ROWS_MAX * SIZE];
    double target[ROWS_MAX];
    int surfaces;
};

/* Delta E 2000 axes by XYZ, at a colour, by differences. */
static void whitened_slopes(struct lab lab, double slopes[9])
{
    double whitener[9], differences[9];
    const double step = 1e-5;
    struct xyz at = colour_xyz_from_lab(lab);

    for (int k = 0; k < 3; k++) {
        struct xyz up = at, down = at;
        struct lab above, below;

        (&up.X)[k] += step;
        (&down.X)[k] -= step;
        above = colour_lab_from_xyz(up);
        below = colour_lab_from_xyz(down);
        differences[k] = (above.L - below.L) / (2 * step);
        differences[3 + k] = (above.a - below.a) / (2 * step);
        differences[6 + k] = (above.b - below.b) / (2 * step);
    }
    colour_whitener(lab, whitener);
    linear_multiply_3x3(whitener, differences, slopes);
}

static void add_surface(const struct colour_model *model, struct rgb rgb, struct lab lab,
                        struct equations *equations)
{
    double terms[COLOUR_TERMS_MAX], slopes[9];
    struct xyz xyz = colour_xyz_from_lab(lab);
    double *target = equations->target + 3 * equations->surfaces;
    double *design = equations->design + 3 * SIZE * equations->surfaces;

    whitened_slopes(lab, slopes);
    linear_apply_3x3(slopes, (double[3]){xyz.X, xyz.Y, xyz.Z}, target);
    colour_model_evaluate(model, rgb, terms);
    for (int q = 0; q < 3; q++)
        for (int j = 0; j < COLOUR_PRIOR_TERMS; j++)
            for (int k = 0; k < 3; k++)
                design[q * SIZE + 3 * j + k] = slopes[3 * q + k] * terms[j];
    equations->surfaces++;
}

static void write_equations(const struct simulation_photo *photo, struct equations *equations)
{
    struct colour_model model = {.form = COLOUR_LEARNT};
    struct colour_patch patches[CARD_PATCHES];

    colour_fit_scale(patches, simulation_patches(photo, patches), model.scale);
    equations->surfaces = 0;
    for (int i = 0; i < CARD_PATCHES; i++)
        add_surface(&model, photo->input.patch[i].rgb_linear, photo->input.card->patch[i],
                    equations);
    for (int i = 0; i < SIMULATION_CELLS; i++)
        add_surface(&model, photo->cell[i].rgb_linear, photo->truth[i], equations);
}

static enum status learn_photo(const struct simulation_photo *photo, struct learnt *learnt,
                               struct error *error)
{
    static struct equations equations;
    double ridge[SIZE];
    double *coefficient = learnt->coefficient[learnt->photos];
    enum status status;

    for (int p = 0; p < SIZE; p++)
        ridge[p] = p < 9 ? 1e-9 : RIDGE;
    write_equations(photo, &equations);
    status = linear_least_squares(&(struct linear_problem){equations.design, equations.target, NULL,
                                                           ridge, 3 * (size_t)equations.surfaces,
                                                           SIZE, 1},
                                  coefficient, error);
    for (int row = 0; row < 3 * CARD_PATCHES; row++) {
        double *left = &learnt->patch[learnt->photos][row / 3][row % 3];

        *left = equations.target[row];
        for (int p = 0; p < SIZE; p++)
            *left -= equations.design[row * SIZE + p] * coefficient[p];
    }
    learnt->photos++;
    return status;
}

/* A light can be so unlike the maker's that greys lack a channel: no one keeps such a photo. */
static bool shows_greys(const struct simulation_photo *photo)
{
    bool shown = true;

    for (int i = CARD_FIRST_NEUTRAL; i < CARD_PATCHES; i++)
        shown = shown && photo->input.use_patch[i];
    return shown;
}

static enum status learn(struct simulation_world *world, struct learnt *learnt, struct error *error)
{
    static struct simulation_photo photo;
    struct random random = {9};
    enum status status = STATUS_OK;

    for (uint64_t seed = 0; !status && learnt->photos < PHOTOS; seed++) {
        if (seed % PHOTOS_PER_CARDS == 0)
            simulation_draw_cards(world, &random, PATCH_STRUCTURE);
        simulation_take(world, SIMULATION_LEARNING, 20000 + seed, &photo);
        if (shows_greys(&photo))
            status = learn_photo(&photo, learnt, error);
    }
    return status;
}

/* --- what they have in common --- */

/* The covariance of photos' values; `next` doubles lie from one photo's to the next's. */
static void spread(const double *values, size_t next, size_t size, double *mean, double *covariance)
{
    memset(mean, 0, size * sizeof *mean);
    memset(covariance, 0, size * size * sizeof *covariance);
    for (size_t photo = 0; photo < PHOTOS; photo++)
        for (size_t p = 0; p < size; p++)
            mean[p] += values[photo * next + p] / PHOTOS;
    for (size_t photo = 0; photo < PHOTOS; photo++)
        for (size_t p = 0; p < size * size; p++)
            covariance[p] += (values[photo * next + p / size] - mean[p / size]) *
                             (values[photo * next + p % size] - mean[p % size]) / (PHOTOS - 1);
}

/* The upper triangular factor F of a matrix's inverse: F'F = 1 / matrix. */
static void print_factor(double *matrix, size_t size)
{
    gsl_matrix_view view = gsl_matrix_view_array(matrix, size, size);
    const char *between = "{";

    gsl_linalg_cholesky_decomp1(&view.matrix);
    gsl_linalg_cholesky_invert(&view.matrix);
    gsl_linalg_cholesky_decomp1(&view.matrix);
    for (size_t row = 0; row < size; row++)
        for (size_t column = row; column < size; column++) {
            printf("%s%.5g", between, gsl_matrix_get(&view.matrix, column, row));
            between = ", ";
        }
    printf("}");
}

static void print_coefficients(const struct learnt *learnt)
{
    double mean[SIZE], covariance[SIZE * SIZE];

    spread(learnt->coefficient[0], SIZE, SIZE, mean, covariance);
    for (int p = 0; p < SIZE; p++) {
        covariance[(SIZE + 1) * p] += VARIANCE_MIN;
        printf("%s%.5g", p ? ", " : "{", mean[p]);
    }
    printf("},\n");
    print_factor(covariance, SIZE);
}

static void print_patch(const struct learnt *learnt, struct lab lab, int patch)
{
    double mean[3], covariance[9], whitener[9], unwhitener[9], in_lab[9];

    spread(learnt->patch[0][patch], 3 * CARD_PATCHES, 3, mean, covariance);
    for (int k = 0; k < 3; k++)
        covariance[4 * k] += DEVIATION_MIN * DEVIATION_MIN;
    colour_whitener(lab, whitener);
    linear_invert_3x3(whitener, unwhitener);
    linear_carry_3x3(unwhitener, covariance, in_lab);
    print_factor(in_lab, 3);
}

int main(void)
{
    static struct simulation_world world;
    static struct learnt learnt;
    struct error error;

    simulation_world_create(&world);
    if (learn(&world, &learnt, &error)) {
        fprintf(stderr, "%s\n", error.message);
        return (int)error.status;
    }
    printf("/* Written by tests/accuracy/learn_prior.c: make prior. */\n"
           "#include \"correction/colour_prior.h\"\n\n"
           "const struct colour_prior colour_prior = {\n");
    print_coefficients(&learnt);
    printf(",\n{");
    for (int i = 0; i < CARD_PATCHES; i++) {
        print_patch(&learnt, world.card.patch[i], i);
        printf(",\n");
    }
    printf("}};\n");
    return 0;
}
