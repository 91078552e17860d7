#include "correction/tone.h"
#include "linear_camera.h"

#include <math.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <setjmp.h>
#include <cmocka.h>

#define NEUTRALS 6

/* Luminances of six neutrals, light to dark, as on the card. */
static const double luminance[NEUTRALS] = {0.88, 0.59, 0.365, 0.19, 0.088, 0.0315};

static void take_neutrals(double contrast, const double gain[3], struct tone_neutral *neutrals)
{
    for (int i = 0; i < NEUTRALS; i++)
        for (int k = 0; k < 3; k++) {
            neutrals[i].scene_linear.channel[k] = luminance[i];
            neutrals[i].rgb_linear.channel[k] =
                linear_camera_curve(gain[k] * luminance[i], contrast);
        }
}

/* Largest miss in L* between black and white, a free gain taken out at a middle grey. */
static double worst_lightness_error(const struct tone *tone, int channel, double contrast,
                                    double gain)
{
    double worst = 0;
    double middle = tone_undo(tone, channel, linear_camera_curve(gain * 0.19, contrast)) / 0.19;

    for (double y = 0.03; y < 0.9; y *= 1.1) {
        double undone = tone_undo(tone, channel, linear_camera_curve(gain * y, contrast)) / middle;

        worst = fmax(worst, 116 * fabs(cbrt(undone) - cbrt(y)));
    }
    return worst;
}

static struct tone fit(const struct tone_neutral *neutrals, int count)
{
    struct tone tone;
    struct error error;

    assert_int_equal(tone_fit(neutrals, count, &tone, &error), STATUS_OK);
    return tone;
}

static void light_that_needs_no_curve_gets_none(void **state)
{
    const double gain[3] = {0.7, 0.8, 0.6};
    struct tone_neutral neutrals[NEUTRALS];
    struct tone tone;

    (void)state;
    take_neutrals(0, gain, neutrals);
    tone = fit(neutrals, NEUTRALS);
    assert_int_equal(tone.degree, 0);
    for (int k = 0; k < 3; k++)
        assert_true(worst_lightness_error(&tone, k, 0, gain[k]) < 1e-6);
}

static void raw_light_gets_no_curve_even_where_one_would_fit_better(void **state)
{
    const double gain[3] = {0.7, 0.8, 0.6};
    struct tone_neutral neutrals[NEUTRALS];
    struct tone tone;
    struct error error;

    (void)state;
    take_neutrals(0.3, gain, neutrals);
    assert_int_equal(tone_fit_straight(neutrals, NEUTRALS, &tone, &error), STATUS_OK);
    assert_int_equal(tone.degree, 0);
    for (int k = 0; k < 3; k++) /* twice the light is twice the light */
        assert_true(fabs(tone_undo(&tone, k, 0.4) / tone_undo(&tone, k, 0.2) - 2) < 1e-9);
}

static void an_s_curve_is_undone_within_half_a_step_of_lightness(void **state)
{
    const double gain[3] = {0.7, 0.8, 0.6};
    struct tone_neutral neutrals[NEUTRALS];
    struct tone tone;

    (void)state;
    take_neutrals(0.3, gain, neutrals);
    tone = fit(neutrals, NEUTRALS);
    for (int k = 0; k < 3; k++)
        assert_true(worst_lightness_error(&tone, k, 0.3, gain[k]) < 0.5);
    tone = tone_identity();
    assert_true(worst_lightness_error(&tone, 0, 0.3, gain[0]) > 3);
}

static void channels_with_curves_of_their_own_are_undone_each(void **state)
{
    const double gain[3] = {0.7, 0.8, 0.6};
    struct tone_neutral neutrals[NEUTRALS], other[NEUTRALS];
    struct tone tone;

    (void)state;
    take_neutrals(0.3, gain, neutrals);
    take_neutrals(-0.2, gain, other);
    for (int i = 0; i < NEUTRALS; i++)
        neutrals[i].rgb_linear.channel[2] = other[i].rgb_linear.channel[2];
    tone = fit(neutrals, NEUTRALS);
    assert_false(tone.shared);
    assert_true(worst_lightness_error(&tone, 0, 0.3, gain[0]) < 1);
    assert_true(worst_lightness_error(&tone, 2, -0.2, gain[2]) < 1);
}

static void one_bad_neutral_moves_the_curve_by_less_than_half_a_step(void **state)
{
    const double gain[3] = {0.7, 0.8, 0.6};

    (void)state;
    for (int bad = 0; bad < NEUTRALS; bad++) {
        struct tone_neutral neutrals[NEUTRALS];
        struct tone tone;

        take_neutrals(0.1, gain, neutrals);
        for (int k = 0; k < 3; k++)
            neutrals[bad].rgb_linear.channel[k] *= 1.4; /* glare: some 5 to 10 steps of L* */
        tone = fit(neutrals, NEUTRALS);
        for (int k = 0; k < 3; k++)
            assert_true(worst_lightness_error(&tone, k, 0.1, gain[k]) < 0.5);
    }
}

static void the_curve_always_rises_whatever_the_neutrals_say(void **state)
{
    uint32_t seed = 1;

    (void)state;
    for (int trial = 0; trial < 200; trial++) {
        struct tone_neutral neutrals[NEUTRALS];
        struct tone tone;

        for (int i = 0; i < NEUTRALS; i++)
            for (int k = 0; k < 3; k++) {
                seed = seed * 1664525u + 1013904223u;
                neutrals[i].rgb_linear.channel[k] = 0.001 + (seed >> 8) / 16777216.0;
                neutrals[i].scene_linear.channel[k] = luminance[i];
            }
        tone = fit(neutrals, 3 + trial % 4);
        for (int k = 0; k < 3; k++)
            for (int i = 0; i < 200; i++)
                assert_true(tone_undo(&tone, k, (i + 1) / 200.0) > tone_undo(&tone, k, i / 200.0));
    }
}

static void two_neutrals_are_too_few_for_a_curve(void **state)
{
    const double gain[3] = {0.7, 0.8, 0.6};
    struct tone_neutral neutrals[NEUTRALS];
    struct tone tone;

    (void)state;
    take_neutrals(0.3, gain, neutrals);
    tone = fit(neutrals, 2);
    assert_true(fabs(tone_undo(&tone, 1, 0.3) - 0.3) < 1e-12);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(light_that_needs_no_curve_gets_none),
        cmocka_unit_test(raw_light_gets_no_curve_even_where_one_would_fit_better),
        cmocka_unit_test(an_s_curve_is_undone_within_half_a_step_of_lightness),
        cmocka_unit_test(channels_with_curves_of_their_own_are_undone_each),
        cmocka_unit_test(one_bad_neutral_moves_the_curve_by_less_than_half_a_step),
        cmocka_unit_test(the_curve_always_rises_whatever_the_neutrals_say),
        cmocka_unit_test(two_neutrals_are_too_few_for_a_curve),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
