#include "correction/colour_blend.h"
#include "linear_camera.h"

#include <math.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <setjmp.h>
#include <string.h>
#include <cmocka.h>

#define PATCHES CARD_PATCHES

/* Patches as a linear camera sees them, each channel bent by a little of its neighbours as a
 * real camera's are: no matrix takes these quite back. */
static void take_patches(double bend, struct colour_patch *patches)
{
    struct card card = card_values();

    for (int i = 0; i < PATCHES; i++) {
        struct rgb rgb = linear_camera_scene(card.patch[i]);
        double g = rgb.channel[1];

        rgb.channel[0] += bend * (sqrt(rgb.channel[0] * g) - (rgb.channel[0] + g) / 2);
        rgb.channel[2] -= bend * (sqrt(rgb.channel[2] * g) - (rgb.channel[2] + g) / 2);
        patches[i] = (struct colour_patch){rgb, card.patch[i], 1, i};
    }
}

static struct colour_model start(enum colour_form form, double ridge)
{
    struct rgb white = linear_camera_scene((struct lab){100, 0, 0});
    struct colour_model model = {.form = form, .ridge = ridge};

    memcpy(model.scale, white.channel, sizeof model.scale);
    return model;
}

static double size_of(struct lab lab, struct lab off)
{
    return colour_delta_e_2000(lab, (struct lab){lab.L + off.L, lab.a + off.a, lab.b + off.b});
}

static void every_form_that_was_not_learnt_takes_a_linear_camera_back_exactly(void **state)
{
    struct colour_patch patches[PATCHES];
    struct colour_check check;
    struct error error;

    (void)state;
    take_patches(0, patches);
    for (int form = 0; form < COLOUR_LEARNT; form++) {
        struct colour_model model = start((enum colour_form)form, 30);

        assert_int_equal(colour_fit(patches, PATCHES, &model, &check, &error), STATUS_OK);
        for (int i = 0; i < PATCHES; i++)
            assert_true(size_of(patches[i].lab, check.residual[i]) < 0.01);
    }
}

static void an_unusual_camera_is_not_held_to_what_was_learnt(void **state)
{
    struct colour_patch patches[PATCHES];
    struct colour_model learnt = start(COLOUR_LEARNT, 0), chosen = learnt;
    struct colour_check learnt_check, check;
    struct error error;

    (void)state;
    take_patches(0.9, patches);
    assert_int_equal(colour_fit(patches, PATCHES, &learnt, &learnt_check, &error), STATUS_OK);
    assert_int_equal(colour_blend_fit(patches, PATCHES, &chosen, &check, &error), STATUS_OK);
    assert_int_not_equal(chosen.mostly, COLOUR_LEARNT);
    assert_true(check.left_out_mean < learnt_check.left_out_mean - 0.2);
}

/* A choice among models leaps where two do alike; a blend goes over from one to the other. */
static void a_camera_a_little_more_unusual_is_read_a_little_otherwise(void **state)
{
    struct lab before[PATCHES];

    (void)state;
    for (double bend = 0; bend < 0.9; bend += 0.01) {
        struct colour_patch patches[PATCHES];
        struct colour_model model = start(COLOUR_MATRIX, 0);
        struct colour_check check;
        struct error error;

        take_patches(bend, patches);
        assert_int_equal(colour_blend_fit(patches, PATCHES, &model, &check, &error), STATUS_OK);
        for (int i = 0; i < PATCHES; i++) {
            struct lab lab = colour_model_lab(&model, patches[i].scene_linear);

            if (bend > 0)
                assert_true(colour_delta_e_2000(lab, before[i]) < 0.2);
            before[i] = lab;
        }
    }
}

static void scaled_exposure_leaves_chromaticity_alone(void **state)
{
    static const enum colour_form forms[] = {COLOUR_MATRIX, COLOUR_ROOT_2, COLOUR_ROOT_3,
                                             COLOUR_LEARNT};
    struct colour_patch patches[PATCHES];
    struct colour_check check;
    struct error error;

    (void)state;
    take_patches(0.3, patches);
    for (int f = 0; f < 4; f++) {
        struct colour_model model = start(forms[f], 3);

        assert_int_equal(colour_fit(patches, PATCHES, &model, &check, &error), STATUS_OK);
        for (int i = 0; i < PATCHES; i++) {
            struct rgb dimmed = patches[i].scene_linear;
            struct xyz bright = colour_xyz_from_lab(colour_model_lab(&model, dimmed)), dim;
            double bright_sum = bright.X + bright.Y + bright.Z, dim_sum;

            for (int k = 0; k < 3; k++)
                dimmed.channel[k] *= 0.37;
            dim = colour_xyz_from_lab(colour_model_lab(&model, dimmed));
            dim_sum = dim.X + dim.Y + dim.Z;
            assert_true(fabs(dim.X / dim_sum - bright.X / bright_sum) < 1e-9);
            assert_true(fabs(dim.Y / dim_sum - bright.Y / bright_sum) < 1e-9);
            assert_true(fabs(dim_sum - 0.37 * bright_sum) < 1e-9);
        }
    }
}

static void roots_mend_what_a_matrix_leaves(void **state)
{
    struct colour_patch patches[PATCHES];
    struct colour_model matrix = start(COLOUR_MATRIX, 0), roots = start(COLOUR_ROOT_2, 0.1);
    struct colour_check matrix_check, roots_check;
    struct error error;

    (void)state;
    take_patches(0.3, patches);
    assert_int_equal(colour_fit(patches, PATCHES, &matrix, &matrix_check, &error), 0);
    assert_int_equal(colour_fit(patches, PATCHES, &roots, &roots_check, &error), 0);
    assert_true(roots_check.left_out_mean < matrix_check.left_out_mean);
}

static void the_left_out_error_is_that_of_a_fit_without_the_patch(void **state)
{
    struct colour_patch patches[PATCHES];
    struct colour_model model = start(COLOUR_ROOT_2, 30);
    struct colour_check check;
    struct error error;

    (void)state;
    take_patches(0.3, patches);
    assert_int_equal(colour_fit(patches, PATCHES, &model, &check, &error), STATUS_OK);
    for (int i = 0; i < PATCHES; i++) {
        struct colour_model without = start(COLOUR_ROOT_2, 30);
        struct colour_check ignored;
        struct lab lab, predicted = patches[i].lab;

        patches[i].weight = 0;
        assert_int_equal(colour_fit(patches, PATCHES, &without, &ignored, &error), 0);
        patches[i].weight = 1;
        lab = colour_model_lab(&without, patches[i].scene_linear);
        predicted.L += check.left_out[i].L;
        predicted.a += check.left_out[i].a;
        predicted.b += check.left_out[i].b;
        assert_true(colour_delta_e_2000(lab, predicted) <
                    0.02 + 0.1 * colour_delta_e_2000(lab, patches[i].lab));
    }
}

static void a_wrong_patch_is_weighed_out_and_moves_the_rest_little(void **state)
{
    struct colour_patch patches[PATCHES];
    struct colour_model good = start(COLOUR_ROOT_2, 30), model = good;
    struct colour_check check;
    struct error error;

    (void)state;
    take_patches(0.1, patches);
    assert_int_equal(colour_fit(patches, PATCHES, &good, &check, &error), STATUS_OK);
    patches[8].scene_linear = patches[3].scene_linear; /* moderate red seen as foliage */
    for (int round = 0; round < 4; round++) {
        assert_int_equal(colour_fit(patches, PATCHES, &model, &check, &error), STATUS_OK);
        colour_fit_reweigh(&check, patches, PATCHES);
    }
    assert_true(patches[8].weight < 0.01);
    for (int i = 0; i < PATCHES; i++)
        assert_true(colour_delta_e_2000(colour_model_lab(&good, patches[i].scene_linear),
                                        colour_model_lab(&model, patches[i].scene_linear)) < 0.5);
}

static void fewer_patches_get_a_simpler_model(void **state)
{
    struct colour_patch patches[PATCHES];
    struct colour_model model = start(COLOUR_MATRIX, 0);
    struct colour_check check;
    struct error error;

    (void)state;
    take_patches(0.3, patches);
    assert_int_equal(colour_blend_fit(patches, PATCHES, &model, &check, &error), STATUS_OK);
    assert_true(model.mostly == COLOUR_ROOT_2 || model.mostly == COLOUR_ROOT_3);
    assert_int_equal(colour_blend_fit(patches + 12, 12, &model, &check, &error), STATUS_OK);
    assert_int_equal(model.mostly, COLOUR_MATRIX);
}

static void the_inverse_leads_back_to_the_colour(void **state)
{
    struct colour_patch patches[PATCHES];
    struct colour_model model = start(COLOUR_ROOT_3, 30);
    struct colour_check check;
    struct error error;

    (void)state;
    take_patches(0.3, patches);
    assert_int_equal(colour_fit(patches, PATCHES, &model, &check, &error), STATUS_OK);
    for (int i = 0; i < PATCHES; i++) {
        struct rgb rgb = colour_model_inverse(&model, patches[i].lab);

        assert_true(colour_delta_e_2000(colour_model_lab(&model, rgb), patches[i].lab) < 0.01);
    }
}

static void patches_that_count_for_nothing_fix_no_model(void **state)
{
    struct colour_patch patches[PATCHES];
    struct colour_model model = start(COLOUR_MATRIX, 0);
    struct colour_check check;
    struct error error;

    (void)state;
    take_patches(0, patches);
    for (int i = 0; i < PATCHES; i++)
        patches[i].weight = 0;
    assert_int_equal(colour_fit(patches, PATCHES, &model, &check, &error), STATUS_NOT_FOUND);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_form_that_was_not_learnt_takes_a_linear_camera_back_exactly),
        cmocka_unit_test(an_unusual_camera_is_not_held_to_what_was_learnt),
        cmocka_unit_test(a_camera_a_little_more_unusual_is_read_a_little_otherwise),
        cmocka_unit_test(scaled_exposure_leaves_chromaticity_alone),
        cmocka_unit_test(roots_mend_what_a_matrix_leaves),
        cmocka_unit_test(the_left_out_error_is_that_of_a_fit_without_the_patch),
        cmocka_unit_test(a_wrong_patch_is_weighed_out_and_moves_the_rest_little),
        cmocka_unit_test(fewer_patches_get_a_simpler_model),
        cmocka_unit_test(the_inverse_leads_back_to_the_colour),
        cmocka_unit_test(patches_that_count_for_nothing_fix_no_model),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
