#include "correction/correction.h"
#include "linear_camera.h"

#include <math.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <setjmp.h>
#include <string.h>
#include <cmocka.h>

static const struct linear_camera even_camera = {.exposure = 0.7};

/* Light that falls by 30 % over the sheet and turns warmer, with an S-curve. */
static const struct linear_camera hard_camera = {
    .exposure = 0.6, .contrast = 0.25, .fall_x = 0.15, .fall_y = -0.05, .bow = 0.03, .warm = 0.04};

/* Colours that are on no card, well inside what it supports. */
static const struct lab inks[] = {{60, 20, 5},   {45, -20, 10}, {75, 5, 40}, {40, 10, -30},
                                  {85, -10, 10}, {30, 20, 5},   {65, 35, 30}};

#define INKS ((int)(sizeof inks / sizeof *inks))

static struct correction *fit(const struct linear_scene *scene, struct correction_quality *quality)
{
    struct correction *correction;
    struct error error;

    assert_int_equal(correction_fit(&scene->input, &correction, quality, &error), STATUS_OK);
    return correction;
}

/* The largest error over all inks and the corners and middle of the sheet. */
static double worst_on_sheet(const struct linear_camera *camera,
                             const struct correction *correction)
{
    static const struct point places[] = {{40, 40}, {960, 40}, {40, 1160}, {960, 1160}, {500, 600}};
    double worst = 0;

    for (int i = 0; i < INKS; i++)
        for (int j = 0; j < 5; j++)
            worst = fmax(worst,
                         colour_delta_e_2000(
                             linear_camera_read(camera, correction, inks[i], places[j]), inks[i]));
    return worst;
}

static void a_plain_camera_in_even_light_is_read_back_within_four_tenths(void **state)
{
    struct linear_scene scene;
    struct correction_quality quality;
    struct correction *correction;

    (void)state;
    linear_camera_take(&even_camera, &scene);
    correction = fit(&scene, &quality);
    assert_true(worst_on_sheet(&even_camera, correction) < 0.4);
    assert_int_equal(quality.patches_used, CARD_PATCHES);
    assert_true(quality.light_falloff < 0.005);
    assert_true(quality.left_out_mean < 0.3);
    correction_release(correction);
}

static void an_s_curve_and_falling_warming_light_are_undone_together(void **state)
{
    struct linear_scene scene;
    struct correction_quality quality;
    struct correction *correction;

    (void)state;
    linear_camera_take(&hard_camera, &scene);
    correction = fit(&scene, &quality);
    assert_true(worst_on_sheet(&hard_camera, correction) < 0.8);
    assert_true(quality.light_falloff > 0.2 && quality.light_falloff < 0.45);
    assert_true(quality.light_shift > 0.5);
    correction_release(correction);
}

static void the_six_neutrals_come_back_neutral(void **state)
{
    struct linear_scene scene;
    struct correction_quality quality;

    (void)state;
    linear_camera_take(&hard_camera, &scene);
    correction_release(fit(&scene, &quality));
    for (int i = CARD_FIRST_NEUTRAL; i < CARD_PATCHES; i++) {
        struct lab wanted = scene.card.patch[i], measured = quality.measured[i];

        assert_true(hypot(measured.a - wanted.a, measured.b - wanted.b) < 0.5);
        assert_true(fabs(measured.L - wanted.L) < 0.7);
    }
}

static void half_the_exposure_gives_the_same_colours(void **state)
{
    struct linear_camera dim = even_camera;
    struct linear_scene scene;
    struct correction_quality bright_quality, dim_quality;

    (void)state;
    linear_camera_take(&even_camera, &scene);
    correction_release(fit(&scene, &bright_quality));
    dim.exposure /= 2;
    linear_camera_take(&dim, &scene);
    correction_release(fit(&scene, &dim_quality));
    for (int i = 0; i < CARD_PATCHES; i++)
        assert_true(colour_delta_e_2000(bright_quality.measured[i], dim_quality.measured[i]) <
                    0.02);
}

static void a_wrong_patch_moves_other_colours_by_six_tenths_of_a_unit_at_most(void **state)
{
    struct linear_scene scene;
    struct correction_quality quality;

    (void)state;
    for (int wrong = 0; wrong < CARD_PATCHES; wrong++) {
        /* Without the black, the curve under the darkest inks is only continued. */
        double bound = wrong == CARD_PATCHES - 1 ? 1 : 0.6;
        struct correction *correction;

        linear_camera_take(&hard_camera, &scene);
        scene.input.patch[wrong].rgb_linear = scene.input.patch[(wrong + 7) % 24].rgb_linear;
        correction = fit(&scene, &quality);
        for (int i = 0; i < INKS; i++)
            assert_true(colour_delta_e_2000(linear_camera_read(&hard_camera, correction, inks[i],
                                                               (struct point){700, 500}),
                                            inks[i]) < bound);
        correction_release(correction);
    }
}

static void clipped_patches_are_left_out_and_said(void **state)
{
    struct linear_scene scene;
    struct correction_quality quality;

    (void)state;
    linear_camera_take(&even_camera, &scene);
    scene.input.patch[17].clipped = 0.5;
    scene.input.patch[17].rgb_linear.channel[0] = 0.3;
    scene.input.use_patch[2] = false;
    correction_release(fit(&scene, &quality));
    assert_int_equal(quality.patches_used, CARD_PATCHES - 2);
    assert_false(quality.used[17]);
    assert_false(quality.used[2]);
    assert_true(quality.residual_max < 0.1);
}

static void too_few_patches_are_refused_with_what_was_seen(void **state)
{
    struct linear_scene scene;
    struct correction_quality quality;
    struct correction *correction;
    struct error error;

    (void)state;
    linear_camera_take(&even_camera, &scene);
    for (int i = 0; i < 13; i++)
        scene.input.use_patch[i] = false;
    assert_int_equal(correction_fit(&scene.input, &correction, &quality, &error), STATUS_QUALITY);
    assert_null(correction);
    assert_non_null(strstr(error.message, "11 of the card's 24"));

    linear_camera_take(&even_camera, &scene);
    for (int i = CARD_FIRST_NEUTRAL; i < CARD_FIRST_NEUTRAL + 4; i++)
        scene.input.patch[i].clipped = 1;
    assert_int_equal(correction_fit(&scene.input, &correction, &quality, &error), STATUS_QUALITY);
    assert_non_null(strstr(error.message, "2 of them neutral"));
}

static void a_mirrored_card_is_refused(void **state)
{
    struct linear_scene scene;
    struct correction_quality quality;
    struct correction *correction;
    struct error error;

    (void)state;
    linear_camera_take(&even_camera, &scene);
    for (int i = 0; i < CARD_PATCHES; i++)
        scene.input.patch[i].rgb_linear =
            linear_camera_sample(&even_camera, scene.card.patch[i / 6 * 6 + 5 - i % 6],
                                 linear_camera_patch_at(i))
                .rgb_linear;
    assert_int_equal(correction_fit(&scene.input, &correction, &quality, &error), STATUS_QUALITY);
    assert_null(correction);
    assert_non_null(strstr(error.message, "do not fit together"));
}

static void a_card_without_a_sheet_is_enough_for_a_fit(void **state)
{
    struct linear_scene scene;
    struct correction_quality quality;
    struct correction *correction;

    (void)state;
    linear_camera_take(&even_camera, &scene);
    scene.input.paper_count = 0;
    scene.input.paper = NULL;
    correction = fit(&scene, &quality);
    assert_true(worst_on_sheet(&even_camera, correction) < 0.5);
    correction_release(correction);
}

static void only_colours_near_the_card_s_are_supported(void **state)
{
    struct linear_scene scene;
    struct correction_quality quality;
    struct correction *correction;

    (void)state;
    linear_camera_take(&even_camera, &scene);
    correction = fit(&scene, &quality);
    for (int i = 0; i < INKS; i++)
        assert_true(correction_supports(correction, inks[i]));
    assert_true(correction_supports(correction, (struct lab){95, 0, 3}));
    assert_false(correction_supports(correction, (struct lab){60, 95, 0}));
    assert_false(correction_supports(correction, (struct lab){30, 60, -100}));
    assert_false(correction_supports(correction, (struct lab){50, -90, 60}));
    correction_release(correction);
}

static double trace(const double covariance[9])
{
    return covariance[0] + covariance[4] + covariance[8];
}

static void uncertainty_grows_with_colour_and_with_distance_from_the_card(void **state)
{
    struct linear_scene scene;
    struct correction_quality quality;
    struct correction *correction;
    struct lab grey = {60, 0, 0}, red = {60, 50, 30};
    struct point near = {1300, 500}, far = {0, 1200};
    double grey_near[9], grey_far[9], red_near[9];

    (void)state;
    linear_camera_take(&hard_camera, &scene);
    correction = fit(&scene, &quality);
    correction_covariance(correction, near, grey, grey_near);
    correction_covariance(correction, far, grey, grey_far);
    correction_covariance(correction, near, red, red_near);
    assert_true(trace(grey_near) > 0);
    assert_true(trace(grey_far) > trace(grey_near));
    assert_true(trace(red_near) > trace(grey_near));
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < i; j++)
            assert_true(fabs(grey_far[3 * i + j] - grey_far[3 * j + i]) < 1e-9);
    correction_release(correction);
}

/* A channel below the photo's range: the ink is more colourful than its clipped values say. */
static void what_lies_below_the_range_makes_a_colour_more_colourful(void **state)
{
    struct linear_scene scene;
    struct correction_quality quality;
    struct correction *correction;
    struct rgb cyan = linear_camera_scene((struct lab){50, -45, -25}), none = {{0, 0, 0}};
    struct lab at_the_end, below;

    (void)state;
    linear_camera_take(&even_camera, &scene);
    correction = fit(&scene, &quality);
    for (int k = 0; k < 3; k++)
        cyan.channel[k] *= k ? even_camera.exposure : 0;
    at_the_end = correction_lab_below(correction, cyan, none);
    below = correction_lab_below(correction, cyan, (struct rgb){{0.01, 0, 0}});
    assert_true(colour_chroma(below) > colour_chroma(at_the_end) + 1);
    correction_release(correction);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_lies_below_the_range_makes_a_colour_more_colourful),
        cmocka_unit_test(a_plain_camera_in_even_light_is_read_back_within_four_tenths),
        cmocka_unit_test(an_s_curve_and_falling_warming_light_are_undone_together),
        cmocka_unit_test(the_six_neutrals_come_back_neutral),
        cmocka_unit_test(half_the_exposure_gives_the_same_colours),
        cmocka_unit_test(a_wrong_patch_moves_other_colours_by_six_tenths_of_a_unit_at_most),
        cmocka_unit_test(clipped_patches_are_left_out_and_said),
        cmocka_unit_test(too_few_patches_are_refused_with_what_was_seen),
        cmocka_unit_test(a_mirrored_card_is_refused),
        cmocka_unit_test(a_card_without_a_sheet_is_enough_for_a_fit),
        cmocka_unit_test(only_colours_near_the_card_s_are_supported),
        cmocka_unit_test(uncertainty_grows_with_colour_and_with_distance_from_the_card),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
