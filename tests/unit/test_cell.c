#include "drawing.h"
#include "linear_camera.h"

#include "measurement/cell_below.h"
#include "measurement/cell_contents.h"
#include "measurement/cell_doubt.h"

#include <math.h>

static const struct linear_camera camera = {.exposure = 0.7};
static const struct lab ink = {50, 20, 10};

/* A cell of one ink, read by a camera whose correction is exact, on paper beside it. */
struct read {
    struct correction *correction;
    struct scene scene;
    struct cell cell;
    struct reading reading;
};

static void read_ink(struct read *read)
{
    struct linear_scene photo;
    struct correction_quality quality;
    struct error error = {0};

    memset(read, 0, sizeof *read);
    linear_camera_take(&camera, &photo);
    assert_int_equal(correction_fit(&photo.input, &read->correction, &quality, &error), STATUS_OK);
    read->scene.correction = read->correction;
    read->scene.paper_colour = correction_paper(read->correction);
    read->cell.sample = linear_camera_sample(&camera, ink, (struct point){500, 600});
    read->cell.light = correction_light(read->correction, read->cell.sample.at);
    for (int k = 0; k < 3; k++)
        read->cell.rgb.channel[k] =
            correction_tone(read->correction, k, read->cell.sample.rgb_linear.channel[k]) /
            read->cell.light.channel[k];
    read->cell.on_paper = true;
    read->cell.local_light = 1;
}

/* The standard deviation of L* that is the cell's own. */
static double doubt_of(struct read *read)
{
    read->reading = (struct reading){.lab = scene_lab(&read->scene, read->cell.rgb)};
    read->reading.unevenness = 0.5;
    cell_doubt_state(&read->scene, &read->cell, &read->reading);
    return sqrt(read->reading.covariance_own[0]);
}

static void light_that_the_field_missed_by_a_fifth_is_doubted_by_a_third_of_that(void **state)
{
    struct read read;
    struct rgb darker;
    double usual, shaded;

    (void)state;
    read_ink(&read);
    usual = doubt_of(&read);
    read.cell.local_light = 0.8;
    shaded = doubt_of(&read);
    darker = read.cell.rgb;
    for (int k = 0; k < 3; k++)
        darker.channel[k] *= 1 - 0.3 * 0.2;
    drawing_assert_near(sqrt(shaded * shaded - usual * usual),
                        read.reading.lab.L - scene_lab(&read.scene, darker).L, 0.1);
    assert_true(shaded > 2 * usual);
    correction_release(read.correction);
}

static void glare_taken_off_leaves_its_doubt(void **state)
{
    struct read read;
    double usual;

    (void)state;
    read_ink(&read);
    usual = doubt_of(&read);
    read.cell.glare.uncertain = 0.02;
    assert_true(doubt_of(&read) > usual + 1);
    correction_release(read.correction);
}

static void ink_that_spreads_further_than_mottle_is_doubted_for_it(void **state)
{
    struct read read;
    double usual;

    (void)state;
    read_ink(&read);
    usual = doubt_of(&read);
    read.reading = (struct reading){.lab = ink, .unevenness = 5};
    cell_doubt_state(&read.scene, &read.cell, &read.reading);
    assert_true(sqrt(read.reading.covariance_own[0]) > usual + 2);
    correction_release(read.correction);
}

static void a_grainier_cell_is_doubted_more(void **state)
{
    struct read read;
    double usual;

    (void)state;
    read_ink(&read);
    usual = doubt_of(&read);
    for (int k = 0; k < 3; k++)
        read.cell.sample.deviation_linear.channel[k] *= 10;
    assert_true(doubt_of(&read) > 3 * usual);
    correction_release(read.correction);
}

static void a_channel_at_the_low_end_lies_below_it_and_others_do_not(void **state)
{
    struct read read;
    struct rgb below;

    (void)state;
    read_ink(&read);
    read.cell.rgb.channel[2] = 0;
    below = cell_below_range(&read.scene, &read.cell);
    assert_true(below.channel[2] == 0); /* nothing was clipped */
    read.cell.sample.clipped = 0.5;
    below = cell_below_range(&read.scene, &read.cell);
    assert_true(below.channel[2] > 0);
    assert_true(below.channel[0] == 0 && below.channel[1] == 0);
    correction_release(read.correction);
}

static void a_cell_wiped_out_by_shine_is_unreadable_and_bright_paper_is_empty(void **state)
{
    const struct drawing_grid grid = {{{{20, 20}, {180, 20}, {180, 180}, {20, 180}}}, 2, 2, 0.7};
    struct quad outline[4];
    struct chart_pose chart = {.rows = 2, .columns = 2, .outline = outline};
    struct read read;
    struct lab paper;

    (void)state;
    read_ink(&read);
    drawing_create(200, 200, drawing_paper, &read.scene.photo);
    for (int i = 0; i < 4; i++)
        outline[i] = drawing_cell(&grid, i / 2, i % 2);
    paper = scene_lab(&read.scene, read.scene.paper_colour);
    read.reading = (struct reading){.row = 1, .column = 1, .lab = paper, .u95 = 2};
    read.reading.flags = FLAG_CLIPPED;
    assert_int_equal(cell_contents(&read.scene, &chart, &read.reading), CELL_EMPTY);
    read.reading.flags = FLAG_CLIPPED | FLAG_GLARE;
    assert_int_equal(cell_contents(&read.scene, &chart, &read.reading), CELL_UNREADABLE);
    read.reading.flags = FLAG_CLIPPED;
    read.reading.lab.L += 5;
    assert_int_equal(cell_contents(&read.scene, &chart, &read.reading), CELL_UNREADABLE);
    photo_release(&read.scene.photo);
    correction_release(read.correction);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(light_that_the_field_missed_by_a_fifth_is_doubted_by_a_third_of_that),
        cmocka_unit_test(glare_taken_off_leaves_its_doubt),
        cmocka_unit_test(ink_that_spreads_further_than_mottle_is_doubted_for_it),
        cmocka_unit_test(a_grainier_cell_is_doubted_more),
        cmocka_unit_test(a_channel_at_the_low_end_lies_below_it_and_others_do_not),
        cmocka_unit_test(a_cell_wiped_out_by_shine_is_unreadable_and_bright_paper_is_empty),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
