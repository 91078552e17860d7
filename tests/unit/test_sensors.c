#include "drawing.h"
#include "linear_camera.h"

#include "measurement/sensors.h"

#include <math.h>

static const struct linear_camera camera = {.exposure = 0.6};

#define SIDE 4 /* cells along a side of the chart */
#define CELLS (SIDE * SIDE)
#define PAPERS 200

/* A photo of card and chart with a correction that is exact; what spoils it is drawn or set. */
struct taken {
    struct photo photo;
    struct scene scene;
    struct correction *correction;
    struct measurement measurement;
    struct card card;
    struct quad outline[CELLS];
    struct reading readings[CELLS];
    struct measured_chart chart;
    struct area_sample papers[PAPERS];
    struct rgb paper_rgb[PAPERS];
    struct faults faults;
};

static const struct drawing_grid grid = {
    {{{100, 100}, {500, 100}, {500, 500}, {100, 500}}}, SIDE, SIDE, 0.7};

static void take(struct taken *taken)
{
    struct linear_scene photo;
    struct error error = {0};

    memset(taken, 0, sizeof *taken);
    linear_camera_take(&camera, &photo);
    assert_int_equal(
        correction_fit(&photo.input, &taken->correction, &taken->measurement.quality, &error),
        STATUS_OK);
    taken->card = photo.card;
    drawing_create(600, 600, drawing_paper, &taken->photo);
    taken->chart =
        (struct measured_chart){.pose = {.rows = SIDE, .columns = SIDE, .outline = taken->outline},
                                .readings = taken->readings};
    taken->scene = (struct scene){.photo = taken->photo,
                                  .correction = taken->correction,
                                  .paper = {.samples = taken->papers, .count = PAPERS},
                                  .paper_rgb = taken->paper_rgb};
    for (int i = 0; i < PAPERS; i++) {
        taken->papers[i].at = (struct point){60 + 480.0 * (i % 20) / 19, 60 + 480.0 * (i / 20) / 9};
        for (int k = 0; k < 3; k++) {
            taken->papers[i].rgb_linear.channel[k] = 0.7;
            taken->paper_rgb[i].channel[k] = 1;
        }
    }
}

/* Ink in all cells, as it is drawn and as it was read. */
static void fill_cells(struct rgb ink, double L, struct taken *taken)
{
    for (int i = 0; i < CELLS; i++) {
        taken->outline[i] = drawing_cell(&grid, i / SIDE, i % SIDE);
        drawing_quad(&taken->photo, &taken->outline[i], ink);
        taken->readings[i] = (struct reading){
            .found = CELL_INK, .lab = {L, 0, 0}, .sampled = quad_inset(&taken->outline[i], 0.15)};
    }
}

static void forget(struct taken *taken)
{
    correction_release(taken->correction);
    photo_release(&taken->photo);
}

static void white_paper_says_nothing_and_paper_lighter_than_any_does(void **state)
{
    struct taken taken;

    (void)state;
    take(&taken);
    sensors_of_paper(&taken.scene, (struct lab){93.5, 0, 2}, &taken.faults);
    assert_int_equal(faults_verdict(&taken.faults), PHOTO_FIT);
    sensors_of_paper(&taken.scene, (struct lab){97, 0, 2}, &taken.faults);
    assert_int_equal(faults_verdict(&taken.faults), PHOTO_LARGER_DOUBT);
    assert_int_equal(faults_worst(&taken.faults), FAULT_PAPER_LIGHTER);
    assert_true(faults_deviation(&taken.faults) > 1.5);
    sensors_of_paper(&taken.scene, (struct lab){99, 0, 2}, &taken.faults);
    assert_int_equal(faults_verdict(&taken.faults), PHOTO_NOT_PROMISED);
    forget(&taken);
}

static void grey_paper_is_doubted_and_yellow_paper_is_not(void **state)
{
    struct taken taken;

    (void)state;
    take(&taken);
    sensors_of_paper(&taken.scene, (struct lab){87, 0, 20}, &taken.faults);
    assert_int_equal(faults_verdict(&taken.faults), PHOTO_FIT);
    sensors_of_paper(&taken.scene, (struct lab){87, 0, 2}, &taken.faults);
    assert_int_equal(faults_worst(&taken.faults), FAULT_PAPER_DARKER);
    forget(&taken);
}

static void paper_near_the_end_of_the_range_is_overexposed(void **state)
{
    struct taken taken;

    (void)state;
    take(&taken);
    for (int i = 0; i < PAPERS; i++)
        taken.papers[i].rgb_linear.channel[1] = 0.95;
    sensors_of_paper(&taken.scene, (struct lab){93.5, 0, 2}, &taken.faults);
    assert_int_equal(faults_worst(&taken.faults), FAULT_OVEREXPOSED);
    forget(&taken);
}

/* A card of greys alone: its white and its black, the black lit up by a part of white. */
static void draw_card(double haze, struct taken *taken)
{
    struct rgb white = drawing_colour(taken->card.patch[CARD_FIRST_NEUTRAL]);
    struct rgb black = drawing_colour(taken->card.patch[CARD_PATCHES - 1]);

    for (int i = 0; i < CARD_PATCHES; i++)
        taken->measurement.card.patch[i] = drawing_upright(10 + 20 * i, 560, 16, 16);
    for (int k = 0; k < 3; k++)
        black.channel[k] += haze * white.channel[k];
    drawing_quad(&taken->photo, &taken->measurement.card.patch[CARD_FIRST_NEUTRAL], white);
    drawing_quad(&taken->photo, &taken->measurement.card.patch[CARD_PATCHES - 1], black);
}

static void a_card_whose_black_is_light_is_hazy(void **state)
{
    struct taken taken;

    (void)state;
    take(&taken);
    draw_card(0, &taken);
    sensors_of_card(&taken.photo, &taken.card, &taken.measurement, &taken.faults);
    assert_int_equal(faults_verdict(&taken.faults), PHOTO_FIT);
    draw_card(0.04, &taken);
    sensors_of_card(&taken.photo, &taken.card, &taken.measurement, &taken.faults);
    assert_int_equal(faults_worst(&taken.faults), FAULT_CARD_HAZY);
    assert_int_equal(faults_verdict(&taken.faults), PHOTO_LARGER_DOUBT);
    forget(&taken);
}

static void ink_darker_than_black_tells_that_the_card_alone_is_hazy(void **state)
{
    struct taken taken;

    (void)state;
    take(&taken);
    draw_card(0.04, &taken);
    sensors_of_card(&taken.photo, &taken.card, &taken.measurement, &taken.faults);
    fill_cells(drawing_grey(30), 14, &taken);
    sensors_of_chart(&taken.scene, &taken.chart, &taken.card, &taken.faults);
    assert_true(taken.faults.of[FAULT_CARD_HAZY].unpromised);
    forget(&taken);
}

static void dark_ink_no_darker_than_the_card_acquits_it(void **state)
{
    struct taken taken;

    (void)state;
    take(&taken);
    draw_card(0.04, &taken);
    sensors_of_card(&taken.photo, &taken.card, &taken.measurement, &taken.faults);
    fill_cells(drawing_grey(50), 22, &taken);
    sensors_of_chart(&taken.scene, &taken.chart, &taken.card, &taken.faults);
    assert_false(taken.faults.of[FAULT_CARD_HAZY].found);
    forget(&taken);
}

static void a_sheet_on_which_no_ink_is_dark_is_hazy(void **state)
{
    struct taken taken;

    (void)state;
    take(&taken);
    fill_cells(drawing_grey(110), 50, &taken);
    sensors_of_chart(&taken.scene, &taken.chart, &taken.card, &taken.faults);
    assert_int_equal(faults_worst(&taken.faults), FAULT_SHEET_HAZY);
    forget(&taken);
}

/* Paper whose light changes by a part of what lies around it. */
static void paper_beside_dark_cells_that_is_lighter_tells_of_local_tone(void **state)
{
    struct taken taken;

    (void)state;
    for (int mapped = 0; mapped < 2; mapped++) {
        take(&taken);
        fill_cells(drawing_grey(30), 30, &taken);
        for (int i = 0; i < PAPERS; i++) {
            double away = point_distance(taken.papers[i].at, (struct point){300, 300});

            for (int k = 0; k < 3; k++)
                taken.paper_rgb[i].channel[k] = mapped && away < 200 ? 1.05 : 1;
        }
        sensors_of_chart(&taken.scene, &taken.chart, &taken.card, &taken.faults);
        assert_int_equal(taken.faults.of[FAULT_LOCAL_TONE].found, mapped);
        forget(&taken);
    }
}

static void a_jpeg_that_is_compressed_hard_is_doubted(void **state)
{
    struct taken taken;

    (void)state;
    take(&taken);
    draw_card(0, &taken);
    taken.photo.traces.luma_step = 8;
    sensors_of_card(&taken.photo, &taken.card, &taken.measurement, &taken.faults);
    assert_int_equal(faults_verdict(&taken.faults), PHOTO_FIT);
    taken.photo.traces.luma_step = 80;
    sensors_of_card(&taken.photo, &taken.card, &taken.measurement, &taken.faults);
    assert_int_equal(faults_worst(&taken.faults), FAULT_COMPRESSED);
    assert_true(faults_deviation(&taken.faults) > 1);
    forget(&taken);
}

static void greys_and_patches_that_miss_their_table_are_told(void **state)
{
    struct taken taken;

    (void)state;
    take(&taken);
    draw_card(0, &taken);
    for (int i = CARD_FIRST_NEUTRAL; i < CARD_PATCHES; i++)
        taken.measurement.quality.measured[i].L += 1;
    taken.measurement.quality.left_out_mean = 6;
    sensors_of_card(&taken.photo, &taken.card, &taken.measurement, &taken.faults);
    assert_true(taken.faults.of[FAULT_GREYS].found);
    assert_false(taken.faults.of[FAULT_GREYS].unpromised);
    assert_int_equal(faults_worst(&taken.faults), FAULT_CARD_COLOURS);
    forget(&taken);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(white_paper_says_nothing_and_paper_lighter_than_any_does),
        cmocka_unit_test(grey_paper_is_doubted_and_yellow_paper_is_not),
        cmocka_unit_test(paper_near_the_end_of_the_range_is_overexposed),
        cmocka_unit_test(a_card_whose_black_is_light_is_hazy),
        cmocka_unit_test(ink_darker_than_black_tells_that_the_card_alone_is_hazy),
        cmocka_unit_test(dark_ink_no_darker_than_the_card_acquits_it),
        cmocka_unit_test(a_sheet_on_which_no_ink_is_dark_is_hazy),
        cmocka_unit_test(paper_beside_dark_cells_that_is_lighter_tells_of_local_tone),
        cmocka_unit_test(a_jpeg_that_is_compressed_hard_is_doubted),
        cmocka_unit_test(greys_and_patches_that_miss_their_table_are_told),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
