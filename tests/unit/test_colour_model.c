#include "correction/colour_fit.h"
#include "linear_camera.h"

#include <math.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <setjmp.h>
#include <string.h>
#include <cmocka.h>

#define PATCHES CARD_PATCHES

/* Patches as a camera with a look gives them: chroma and hue changed, more so in the light. */
static void take_patches(double strength, struct colour_patch *patches)
{
    struct card card = card_values();
    const struct colour_model straight = colour_fit_start(false);

    for (int i = 0; i < PATCHES; i++) {
        /* a little paler than they are: sRGB has no room for the cyan patch */
        struct lab lab = {card.patch[i].L, 0.8 * card.patch[i].a, 0.8 * card.patch[i].b};
        double more = 1 + 0.15 * strength * lab.L / 100, turn = 0.1 * strength;
        struct lab bent = {lab.L, more * (lab.a * cos(turn) - lab.b * sin(turn)),
                           more * (lab.a * sin(turn) + lab.b * cos(turn))};

        patches[i] =
            (struct colour_patch){.scene_linear = colour_model_straight_inverse(&straight, bent),
                                  .lab = lab,
                                  .weight = 1,
                                  .neutral = card.neutral[i]};
    }
}

static struct colour_fitted fit_with(const struct colour_patch *patches, int count,
                                     const double *shared)
{
    static struct colour_fitted fitted;
    struct error error;

    fitted = (struct colour_fitted){.model = colour_fit_start(false)};
    assert_int_equal(colour_fit(patches, count, shared, &fitted, &error), STATUS_OK);
    return fitted;
}

static struct colour_fitted fit(const struct colour_patch *patches, int count)
{
    return fit_with(patches, count, NULL);
}

static double size_of(struct lab lab, struct lab off)
{
    return colour_delta_e_2000(lab, (struct lab){lab.L + off.L, lab.a + off.a, lab.b + off.b});
}

static void a_camera_without_a_look_is_told_and_taken_back(void **state)
{
    struct colour_patch patches[PATCHES];
    struct colour_fitted fitted;

    (void)state;
    take_patches(0, patches);
    fitted = fit(patches, PATCHES);
    assert_int_equal(fitted.doubt.world, COLOUR_PLAIN);
    for (int i = 0; i < PATCHES; i++)
        assert_true(size_of(patches[i].lab, fitted.check.residual[i]) < 0.5);
    assert_true(fitted.check.left_out_mean < 0.4);
}

static void a_look_is_mostly_undone(void **state)
{
    struct colour_patch patches[PATCHES];
    struct colour_fitted fitted;
    double before = 0, after = 0;

    (void)state;
    take_patches(1, patches);
    fitted = fit(patches, PATCHES);
    for (int i = 0; i < PATCHES; i++) {
        before += colour_delta_e_2000(colour_model_straight(&fitted.model, patches[i].scene_linear),
                                      patches[i].lab);
        after += size_of(patches[i].lab, fitted.check.left_out[i]);
    }
    assert_true(after < before / 4);
}

static void the_stronger_the_look_the_larger_the_doubt(void **state)
{
    struct colour_patch patches[PATCHES];
    double weak[9], strong[9];
    const struct lab ink = {45, 30, -60};
    struct colour_fitted fitted;

    (void)state;
    take_patches(0, patches);
    fitted = fit(patches, PATCHES);
    colour_fit_covariance(&fitted.model, &fitted.doubt, ink, weak);
    take_patches(2, patches);
    fitted = fit(patches, PATCHES);
    colour_fit_covariance(&fitted.model, &fitted.doubt, ink, strong);
    for (int k = 0; k < 9; k += 4)
        assert_true(strong[k] > 1.5 * weak[k]);
}

static void doubt_is_larger_far_from_the_cards_colours(void **state)
{
    struct colour_patch patches[PATCHES];
    struct colour_fitted fitted;
    double near[9], far[9];

    (void)state;
    take_patches(1, patches);
    fitted = fit(patches, PATCHES);
    colour_fit_covariance(&fitted.model, &fitted.doubt, (struct lab){50, 0, 0}, near);
    colour_fit_covariance(&fitted.model, &fitted.doubt, (struct lab){50, 60, 60}, far);
    assert_true(far[0] + far[4] + far[8] > 2 * (near[0] + near[4] + near[8]));
}

static void exposure_is_in_the_scale_alone(void **state)
{
    struct colour_patch patches[PATCHES];
    struct colour_model model = colour_fit_start(false);
    double once[3];

    (void)state;
    take_patches(1, patches);
    colour_fit_scale(patches, PATCHES, once);
    for (int i = 0; i < PATCHES; i++)
        for (int k = 0; k < 3; k++)
            patches[i].scene_linear.channel[k] *= 3;
    colour_fit_scale(patches, PATCHES, model.scale);
    for (int k = 0; k < 3; k++)
        assert_true(fabs(model.scale[k] / once[k] - 3) < 1e-9);
}

static void the_left_out_error_is_that_of_a_fit_without_the_patch(void **state)
{
    struct colour_patch patches[PATCHES];
    struct colour_fitted all;

    (void)state;
    take_patches(1.5, patches);
    for (int i = 0; i < PATCHES; i++)
        patches[i].lab.L += i % 3 - 1;
    all = fit(patches, PATCHES);
    for (int i = 0; i < PATCHES; i++) {
        struct colour_fitted without;
        struct lab left_out = all.check.left_out[i], truth = patches[i].lab, lab;

        patches[i].weight = 0;
        without = fit(patches, PATCHES);
        patches[i].weight = 1;
        lab = colour_model_lab(&without.model, patches[i].scene_linear);
        /* the scales are weighed anew without the patch: a small part of the error */
        assert_true(
            colour_delta_e_2000(lab, (struct lab){truth.L + left_out.L, truth.a + left_out.a,
                                                  truth.b + left_out.b}) <
            0.1 + 0.25 * colour_delta_e_2000(lab, truth));
    }
}

static void a_wrong_patch_is_weighed_out_and_moves_the_rest_little(void **state)
{
    struct colour_patch patches[PATCHES];
    struct colour_fitted good, fitted;

    (void)state;
    take_patches(1, patches);
    good = fit(patches, PATCHES);
    for (int k = 0; k < 3; k++)
        patches[9].scene_linear.channel[k] += 0.3;
    for (int round = 0; round < 3; round++) {
        fitted = fit(patches, PATCHES);
        colour_fit_reweigh(&fitted.check, patches, PATCHES);
    }
    assert_true(patches[9].weight < 0.05);
    for (int i = 0; i < PATCHES; i++)
        if (i != 9)
            assert_true(colour_delta_e_2000(
                            colour_model_lab(&good.model, patches[i].scene_linear),
                            colour_model_lab(&fitted.model, patches[i].scene_linear)) < 0.5);
}

/* A look that takes chroma from greens and cyans alone is no outlier, however far the patch is off:
 * nothing else on the card says what such hues do. */
static void a_look_of_one_hue_keeps_its_patches(void **state)
{
    struct colour_patch patches[PATCHES];
    const struct colour_model straight = colour_fit_start(false);

    (void)state;
    take_patches(0.5, patches);
    for (int i = 0; i < PATCHES; i++) {
        double hue = atan2(patches[i].lab.b, patches[i].lab.a);
        double kept = 1 - 0.4 * fmax(cos(hue - 3.4), 0);
        struct lab lab = {patches[i].lab.L, kept * 0.8 * patches[i].lab.a,
                          kept * 0.8 * patches[i].lab.b};

        patches[i].scene_linear = colour_model_straight_inverse(&straight, lab);
    }
    for (int round = 0; round < 3; round++) {
        struct colour_fitted fitted = fit(patches, PATCHES);

        colour_fit_reweigh(&fitted.check, patches, PATCHES);
    }
    for (int i = 0; i < PATCHES; i++)
        assert_true(patches[i].weight > 0.3);
}

/* What moves patches together is told from what bends colours: here a part of each patch's L*, by
 * its column on the card. */
static void what_moves_patches_together_is_told_apart(void **state)
{
    enum { ROWS = 3 * PATCHES };
    static double shared[ROWS * ROWS];
    struct colour_patch patches[PATCHES];
    struct colour_fitted fitted;
    const double slope = 1.5;
    double told = 0, along[PATCHES];

    (void)state;
    take_patches(0.5, patches);
    for (int i = 0; i < PATCHES; i++) {
        along[i] = i % 6 - 2.5;
        patches[i].lab.L -= slope * along[i];
    }
    for (int i = 0; i < PATCHES; i++)
        for (int j = 0; j < PATCHES; j++)
            shared[3 * i * ROWS + 3 * j] = 4 * along[i] * along[j]; /* a slope of 2, usually */
    fitted = fit_with(patches, PATCHES, shared);
    for (int i = 0; i < PATCHES; i++) /* the slope's own mean: its covariance times the pull */
        told += 4 * along[i] * fitted.pull.along[3 * i];
    assert_true(fabs(told + slope) < 0.3 * slope);
}

#define CYAN 17 /* of a look that leaves no room for it: sRGB has none */

static void the_inverse_leads_back_to_the_colour(void **state)
{
    struct colour_patch patches[PATCHES];
    struct colour_fitted fitted;

    (void)state;
    take_patches(0.5, patches);
    fitted = fit(patches, PATCHES);
    for (int i = 0; i < PATCHES; i++) {
        struct lab lab = patches[i].lab, straight = colour_model_unbend(&fitted.model, lab);
        struct rgb rgb = colour_model_inverse(&fitted.model, lab);

        assert_true(colour_delta_e_2000(colour_model_bend(&fitted.model, straight), lab) < 0.01);
        assert_true(i == CYAN ||
                    colour_delta_e_2000(colour_model_lab(&fitted.model, rgb), lab) < 0.01);
    }
}

static void patches_that_count_for_nothing_fix_no_model(void **state)
{
    struct colour_patch patches[PATCHES];
    struct colour_fitted fitted = {.model = colour_fit_start(false)};
    struct error error;

    (void)state;
    take_patches(0, patches);
    for (int i = 0; i < PATCHES; i++)
        patches[i].weight = 0;
    assert_int_equal(colour_fit(patches, PATCHES, NULL, &fitted, &error), STATUS_NOT_FOUND);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_camera_without_a_look_is_told_and_taken_back),
        cmocka_unit_test(a_look_is_mostly_undone),
        cmocka_unit_test(the_stronger_the_look_the_larger_the_doubt),
        cmocka_unit_test(doubt_is_larger_far_from_the_cards_colours),
        cmocka_unit_test(a_look_of_one_hue_keeps_its_patches),
        cmocka_unit_test(what_moves_patches_together_is_told_apart),
        cmocka_unit_test(exposure_is_in_the_scale_alone),
        cmocka_unit_test(the_left_out_error_is_that_of_a_fit_without_the_patch),
        cmocka_unit_test(a_wrong_patch_is_weighed_out_and_moves_the_rest_little),
        cmocka_unit_test(the_inverse_leads_back_to_the_colour),
        cmocka_unit_test(patches_that_count_for_nothing_fix_no_model),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
