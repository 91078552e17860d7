#include "measurement/radius.h"

#include "correction/colour_fit.h"
#include "values/statistics.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

/*
 * The GUM's propagation against its Monte Carlo. Source: JCGM 100:2008 for the
 * one, JCGM 101:2008 for the other: draw the inputs, run the model, read the
 * quantile.
 */
#define TRIALS 20000
#define PATCHES 24

static double normal(void)
{
    double u = (rand() + 1.0) / (RAND_MAX + 2.0), v = rand() / (RAND_MAX + 1.0);

    return sqrt(-2 * log(u)) * cos(6.283185307179586 * v);
}

/* A covariance as root times its transpose. */
static void square(const double root[9], double covariance[9])
{
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++) {
            covariance[3 * i + j] = 0;
            for (int k = 0; k < 3; k++)
                covariance[3 * i + j] += root[3 * i + k] * root[3 * j + k];
        }
}

static double drawn_radius(struct lab at, const double root[9])
{
    static double distances[TRIALS];

    for (int t = 0; t < TRIALS; t++) {
        const double draw[3] = {normal(), normal(), normal()};
        double off[3] = {0, 0, 0};

        for (int i = 0; i < 3; i++)
            for (int k = 0; k < 3; k++)
                off[i] += root[3 * i + k] * draw[k];
        distances[t] =
            colour_delta_e_2000(at, (struct lab){at.L + off[0], at.a + off[1], at.b + off[2]});
    }
    return statistics_quantile(distances, TRIALS, 0.95);
}

static const struct lab colours[] = {{95, 0, 1},    {20, 0, 0},    {60, 45, 20}, {50, -9, -56},
                                     {85, -10, 80}, {40, 12, -64}, {60, -40, 5}};

/* Sizes and shapes of Lab errors: even, along lightness (light), along chroma (the fit). */
static const double roots[][9] = {{0.5, 0, 0, 0, 0.5, 0, 0, 0, 0.5},
                                  {1.5, 0, 0, 0.1, 0.2, 0, 0.1, 0, 0.2},
                                  {0.3, 0, 0, 0.3, 1.2, 0, -0.4, 0.5, 1.0},
                                  {0.8, 0, 0, 0.6, 0.4, 0, -0.9, 0.2, 0.4}};

static void the_stated_radius_is_that_of_a_monte_carlo_within_a_tenth(void **state)
{
    (void)state;
    srand(1);
    for (size_t c = 0; c < sizeof colours / sizeof *colours; c++)
        for (size_t r = 0; r < sizeof roots / sizeof *roots; r++) {
            double covariance[9], stated, drawn = drawn_radius(colours[c], roots[r]);

            square(roots[r], covariance);
            stated = radius_95(colours[c], covariance);
            if (fabs(stated / drawn - 1) > 0.1)
                fail_msg("colour %zu, errors %zu: stated %.3f, drawn %.3f", c, r, stated, drawn);
        }
}

static void the_radius_grows_in_step_with_the_error(void **state)
{
    double one[9], two[9];

    (void)state;
    square(roots[2], one);
    for (int k = 0; k < 9; k++)
        two[k] = 4 * one[k];
    assert_true(fabs(radius_95(colours[2], two) - 2 * radius_95(colours[2], one)) < 1e-6);
}

/* A matrix camera whose card is printed with scatter: the colours a fit to it gives scatter too. */
static double spread_of_fits(double deviation, struct rgb ink, struct lab *centre)
{
    static const double steps[3] = {0.08, 0.35, 0.8};
    enum { FITS = 300 };
    double squares = 0;
    struct lab first = {0, 0, 0};

    for (int n = 0; n < FITS; n++) {
        struct colour_patch patches[PATCHES];
        struct colour_fitted fitted = {.model = colour_fit_start(false)};
        struct error error;
        struct lab lab;

        for (int i = 0; i < PATCHES; i++) {
            struct rgb rgb = {{steps[i % 3], steps[i / 3 % 3], steps[(i / 9 + i) % 3]}};
            struct lab true_lab = colour_lab_from_xyz((struct xyz){
                0.44 * rgb.channel[0] + 0.38 * rgb.channel[1] + 0.14 * rgb.channel[2],
                0.22 * rgb.channel[0] + 0.72 * rgb.channel[1] + 0.06 * rgb.channel[2],
                0.01 * rgb.channel[0] + 0.10 * rgb.channel[1] + 0.71 * rgb.channel[2]});

            true_lab.L += n ? deviation * normal() : 0;
            patches[i] = (struct colour_patch){.scene_linear = rgb, .lab = true_lab, .weight = 1};
        }
        assert_int_equal(colour_fit(patches, PATCHES, NULL, &fitted, &error), STATUS_OK);
        lab = colour_model_lab(&fitted.model, ink);
        first = n ? first : lab;
        squares += pow(lab.L - first.L, 2) / (FITS - 1);
    }
    *centre = first;
    return sqrt(squares);
}

/* What a card's own scatter does to a reading is within what is stated for the card: it averages
 * out over the patches, to less than half. */
static void the_cards_scatter_passes_on_by_less_than_half(void **state)
{
    struct lab centre;
    double spread;

    (void)state;
    srand(2);
    spread = spread_of_fits(0.3, (struct rgb){{0.3, 0.4, 0.35}}, &centre);
    assert_true(spread > 0.01);
    assert_true(spread < 0.15);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_stated_radius_is_that_of_a_monte_carlo_within_a_tenth),
        cmocka_unit_test(the_radius_grows_in_step_with_the_error),
        cmocka_unit_test(the_cards_scatter_passes_on_by_less_than_half),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
