#include "drawing.h"

#include "measurement/rim.h"

#include <math.h>

/* Nine cells; the middle one is looked at. */
#define MIDDLE 4

static const struct quad sheet = {{{20, 20}, {320, 20}, {320, 320}, {20, 320}}};

static struct drawing_grid grid_of(double fill)
{
    return (struct drawing_grid){sheet, 3, 3, fill};
}

/* The rim of the middle cell of a chart, its light falling off by a part from left to right. */
static struct rim rim_of(double fill, struct rgb ink, double falloff)
{
    struct drawing_grid grid = grid_of(fill);
    struct quad outline[9];
    struct chart_pose chart = {.rows = 3, .columns = 3, .outline = outline};
    struct photo photo;
    struct rim rim;

    drawing_create(340, 340, drawing_paper, &photo);
    for (int i = 0; i < 9; i++) {
        outline[i] = drawing_cell(&grid, i / 3, i % 3);
        drawing_quad(&photo, &outline[i],
                     i == MIDDLE ? ink : drawing_colour((struct lab){35, 20, -30}));
    }
    for (int y = 0; y < photo.image.height_px; y++)
        for (int x = 0; x < photo.image.width_px; x++)
            for (int k = 0; k < 3; k++) {
                uint16_t *sample = &image_at(&photo.image, x, y)[k];

                *sample = drawing_encode(photo_linear(&photo, k, *sample) *
                                         (1 - falloff * x / photo.image.width_px));
            }
    drawing_blur(&photo, 1);
    drawing_noise(&photo, 3, drawing_seed(1));
    rim_look(&photo, &chart, MIDDLE, &rim);
    photo_release(&photo);
    return rim;
}

static void a_blank_cell_has_no_step_at_its_rim_though_light_falls_off(void **state)
{
    (void)state;
    for (double falloff = 0; falloff < 0.8; falloff += 0.25) {
        struct rim rim = rim_of(0.8, drawing_paper, falloff);

        assert_int_equal(rim.pairs, 2);
        for (int k = 0; k < 3; k++)
            drawing_assert_near(rim.step[k], 0, 0.03);
    }
}

static void a_pale_ink_steps_down_by_its_own_depth_in_any_light(void **state)
{
    const struct rgb thin = {{1, 0.93, 0.85}};

    (void)state;
    for (double falloff = 0; falloff < 0.8; falloff += 0.25) {
        struct rim rim = rim_of(0.8, drawing_lit(drawing_paper, thin), falloff);

        for (int k = 0; k < 3; k++)
            drawing_assert_near(rim.step[k], log(thin.channel[k]), 0.03);
    }
}

static void no_rim_is_told_where_cells_leave_no_gap(void **state)
{
    (void)state;
    assert_int_equal(rim_of(0.97, drawing_paper, 0).pairs, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_blank_cell_has_no_step_at_its_rim_though_light_falls_off),
        cmocka_unit_test(a_pale_ink_steps_down_by_its_own_depth_in_any_light),
        cmocka_unit_test(no_rim_is_told_where_cells_leave_no_gap),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
