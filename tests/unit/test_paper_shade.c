#include "drawing.h"

#include "measurement/paper_shade.h"

#include <math.h>

/* Samples of the gaps of a chart of 8 by 8 cells, 100 pixels from cell to cell: one right of each
 * cell, one below it, and one between four; also of cells that would lie left of it and above. */
#define CELLS 8
#define PITCH_PX 100.0
#define SAMPLES (3 * (CELLS + 1) * (CELLS + 1))

struct sheet {
    struct chart_pose chart;
    struct quad outline[CELLS * CELLS];
    struct area_sample samples[SAMPLES];
    struct paper paper;
    bool bare[SAMPLES];
};

/* A sheet in even light, all of it known to be bare. */
static void lay_out(struct sheet *sheet)
{
    static const struct point offset[3] = {{1, 0.5}, {0.5, 1}, {1, 1}};
    const double side_px = CELLS * PITCH_PX - 10; /* gaps beyond the last cells are outside */

    memset(sheet, 0, sizeof *sheet);
    sheet->chart.rows = sheet->chart.columns = CELLS;
    sheet->chart.corners =
        (struct quad){{{10, 10}, {side_px, 10}, {side_px, side_px}, {10, side_px}}};
    sheet->chart.outline = sheet->outline;
    for (int i = 0; i < CELLS * CELLS; i++)
        sheet->outline[i] =
            drawing_upright(PITCH_PX * (i % CELLS) + 10, PITCH_PX * (i / CELLS) + 10, 80, 80);
    for (int i = 0; i < SAMPLES; i++) {
        int cell = i / 3;

        sheet->samples[i] = (struct area_sample){.pixels = 200, .kept = 200};
        sheet->samples[i].at =
            (struct point){PITCH_PX * (cell % (CELLS + 1) - 1 + offset[i % 3].x),
                           PITCH_PX * (cell / (CELLS + 1) - 1 + offset[i % 3].y)};
        sheet->samples[i].rgb_linear = drawing_paper;
        for (int k = 0; k < 3; k++)
            sheet->samples[i].deviation_linear.channel[k] = 0.01;
        sheet->bare[i] = true;
    }
    sheet->paper = (struct paper){.samples = sheet->samples, .count = SAMPLES};
}

static void darken(struct sheet *sheet, int sample, double share)
{
    for (int k = 0; k < 3; k++)
        sheet->samples[sample].rgb_linear.channel[k] *= share;
    sheet->bare[sample] = share > 0.97;
}

static void follow(struct sheet *sheet)
{
    struct error error = {0};

    assert_int_equal(paper_follow_shade(&sheet->paper, &sheet->chart, sheet->bare, &error),
                     STATUS_OK);
}

static int count_bare(const struct sheet *sheet)
{
    int bare = 0;

    for (int i = 0; i < SAMPLES; i++)
        bare += sheet->bare[i];
    return bare;
}

/* The share of the samples within the chart that are not known to be bare. */
static double share_missed(const struct sheet *sheet)
{
    int within = 0, missed = 0;

    for (int i = 0; i < SAMPLES; i++)
        if (quad_contains(&sheet->chart.corners, sheet->samples[i].at)) {
            within++;
            missed += !sheet->bare[i];
        }
    return (double)missed / within;
}

static void bare_paper_is_followed_over_the_edge_of_a_shadow(void **state)
{
    (void)state;
    for (double soft_px = 40; soft_px < 110; soft_px += 30) {
        struct sheet sheet;

        lay_out(&sheet);
        for (int i = 0; i < SAMPLES; i++)
            darken(&sheet, i, 1 - 0.35 / (1 + exp((sheet.samples[i].at.x - 400) / soft_px)));
        assert_true(count_bare(&sheet) < SAMPLES * 2 / 3);
        follow(&sheet);
        assert_true(share_missed(&sheet) < 0.05);
    }
}

static void bare_paper_is_followed_into_the_light_of_another_lamp(void **state)
{
    struct sheet sheet;

    (void)state;
    lay_out(&sheet);
    for (int i = 0; i < SAMPLES; i++) {
        double right = sheet.samples[i].at.x / (CELLS * PITCH_PX);

        sheet.samples[i].rgb_linear.channel[2] *= exp(-0.18 * right);
        sheet.bare[i] = right < 0.3;
    }
    follow(&sheet);
    assert_true(share_missed(&sheet) < 0.05);
}

static void paper_lighter_than_any_known_is_left_to_glare(void **state)
{
    struct sheet sheet;
    int bare;

    (void)state;
    lay_out(&sheet);
    for (int i = 0; i < SAMPLES; i++) {
        double away_px = point_distance(sheet.samples[i].at, (struct point){400, 400});
        double glare = 0.3 * exp(-pow(away_px / 150, 2));

        for (int k = 0; k < 3; k++)
            sheet.samples[i].rgb_linear.channel[k] += glare;
        sheet.bare[i] = glare < 0.01;
    }
    bare = count_bare(&sheet);
    follow(&sheet);
    assert_true(bare < SAMPLES);
    for (int i = 0; i < SAMPLES; i++)
        assert_false(sheet.bare[i] &&
                     sheet.samples[i].rgb_linear.channel[1] > drawing_paper.channel[1] + 0.02);
}

static void labels_under_all_cells_are_no_shadow(void **state)
{
    struct sheet sheet;
    int bare;

    (void)state;
    lay_out(&sheet);
    for (int i = 1; i < SAMPLES; i += 3)
        darken(&sheet, i, 0.92);
    bare = count_bare(&sheet);
    follow(&sheet);
    assert_int_equal(count_bare(&sheet), bare);
}

static void what_lies_here_and_there_in_gaps_is_no_shadow(void **state)
{
    struct sheet sheet;
    int bare;

    (void)state;
    lay_out(&sheet);
    for (int i = 0; i < SAMPLES; i += 5)
        darken(&sheet, i, 0.9);
    bare = count_bare(&sheet);
    follow(&sheet);
    assert_int_equal(count_bare(&sheet), bare);
}

static void coloured_ink_is_no_shadow_however_much_of_it_there_is(void **state)
{
    struct sheet sheet;
    int bare;

    (void)state;
    lay_out(&sheet);
    for (int i = SAMPLES / 2; i < SAMPLES; i++) {
        darken(&sheet, i, 0.9);
        sheet.samples[i].rgb_linear.channel[2] *= 0.9;
    }
    bare = count_bare(&sheet);
    follow(&sheet);
    assert_int_equal(count_bare(&sheet), bare);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(bare_paper_is_followed_over_the_edge_of_a_shadow),
        cmocka_unit_test(bare_paper_is_followed_into_the_light_of_another_lamp),
        cmocka_unit_test(paper_lighter_than_any_known_is_left_to_glare),
        cmocka_unit_test(labels_under_all_cells_are_no_shadow),
        cmocka_unit_test(what_lies_here_and_there_in_gaps_is_no_shadow),
        cmocka_unit_test(coloured_ink_is_no_shadow_however_much_of_it_there_is),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
