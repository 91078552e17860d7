/*
 * What looks and edge-keeping smoothing promise to the photos rendered with them.
 */

#include "camera.h"
#include "guided.h"
#include "look.h"
#include "plan.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdlib.h>

#include <cmocka.h>

static void every_look_keeps_greys_grey_and_in_order(void **state)
{
    struct prepared_look *prepared = malloc(sizeof *prepared);

    (void)state;
    for (int number = 1; number <= LOOKS; number++) {
        struct look look = look_draw(number);
        float last = -1.0f;

        look_prepare(prepared, &look);
        for (int step = 0; step <= 50; step++) {
            float linear = (float)(step * step) / 2500.0f;
            float rgb[3] = {linear, linear, linear};

            look_bend(prepared, rgb);
            assert_true(fabsf(rgb[0] - rgb[1]) < 1e-4f && fabsf(rgb[2] - rgb[1]) < 1e-4f);
            assert_true(rgb[1] >= last);
            last = rgb[1];
        }
    }
    free(prepared);
}

static void every_look_changes_colours_and_no_two_alike(void **state)
{
    struct prepared_look *prepared = malloc(sizeof *prepared);
    float bent[LOOKS + 1][3];

    (void)state;
    for (int number = 1; number <= LOOKS; number++) {
        struct look look = look_draw(number);

        bent[number][0] = 0.4f;
        bent[number][1] = bent[number][2] = 0.1f;
        look_prepare(prepared, &look);
        look_bend(prepared, bent[number]);
        assert_true(fabsf(bent[number][0] - 0.4f) > 1e-3f);
        for (int other = 1; other < number; other++)
            assert_true(fabsf(bent[number][0] - bent[other][0]) +
                            fabsf(bent[number][1] - bent[other][1]) >
                        1e-4f);
    }
    free(prepared);
}

static void a_look_without_change_leaves_colours_alone(void **state)
{
    struct look none = {.gain = 1.0, .chroma = 1.0, .chroma_dark = 1.0, .chroma_light = 1.0};
    struct prepared_look *prepared = malloc(sizeof *prepared);
    float rgb[3] = {0.6f, 0.2f, 0.05f};

    (void)state;
    for (int i = 0; i < LOOK_HUES; i++)
        none.hue_chroma[i] = 1.0;
    look_prepare(prepared, &none);
    look_bend(prepared, rgb);
    look_fit(prepared, rgb);
    assert_true(fabsf(rgb[0] - 0.6f) < 1e-3f && fabsf(rgb[1] - 0.2f) < 1e-3f &&
                fabsf(rgb[2] - 0.05f) < 1e-3f);
    free(prepared);
}

static void what_a_file_can_not_hold_is_clipped_or_made_greyer(void **state)
{
    struct prepared_look *prepared = calloc(1, sizeof *prepared);
    float clipped[3] = {0.2f, 0.6f, -0.1f}, squeezed[3] = {0.2f, 0.6f, -0.1f};

    (void)state;
    look_fit(prepared, clipped);
    assert_true(clipped[0] == 0.2f && clipped[1] == 0.6f && clipped[2] == 0.0f);
    prepared->look.squeeze = 1.0;
    look_fit(prepared, squeezed);
    assert_true(fabsf(squeezed[2]) < 1e-6f && squeezed[0] > 0.2f && squeezed[1] < 0.6f);
    free(prepared);
}

/* A step of 1 with a ripple of a tenth on both sides. */
static void smoothing_takes_the_ripple_and_leaves_the_step(void **state)
{
    enum { SIDE = 40 };
    float plane[SIDE * SIDE], *smooth;

    (void)state;
    for (int i = 0; i < SIDE * SIDE; i++)
        plane[i] = (i % SIDE < SIDE / 2 ? 0.0f : 1.0f) + (i % 2 ? 0.05f : -0.05f);
    smooth = guided_smooth(plane, SIDE, SIDE, 4, 0.2);
    assert_true(fabsf(smooth[20 * SIDE + 5]) < 0.02f);
    assert_true(smooth[20 * SIDE + 18] < 0.15f && smooth[20 * SIDE + 21] > 0.85f);
    free(smooth);
}

static void photos_of_even_numbers_have_cameras_and_looks_that_the_others_lack(void **state)
{
    (void)state;
    for (int number = 1; number <= 40; number++) {
        struct plan plan = plan_draw(GRADE_EVEN, number);

        plan_treat(&plan, number % 3 ? TREATMENT_LOOK : TREATMENT_PHONE, number);
        assert_int_equal(plan.camera >= cameras_count() / 2, number % 2 == 0);
        assert_int_equal(plan.look % 2, number % 2);
        assert_true(plan.look >= 1 && plan.look <= LOOKS);
        assert_int_equal(plan.local_tone > 0.0, number % 3 == 0);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_look_keeps_greys_grey_and_in_order),
        cmocka_unit_test(every_look_changes_colours_and_no_two_alike),
        cmocka_unit_test(a_look_without_change_leaves_colours_alone),
        cmocka_unit_test(what_a_file_can_not_hold_is_clipped_or_made_greyer),
        cmocka_unit_test(smoothing_takes_the_ripple_and_leaves_the_step),
        cmocka_unit_test(photos_of_even_numbers_have_cameras_and_looks_that_the_others_lack),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
