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
    sheet->paper = (struct paper){sheet->samples, SAMPLES};
}

static void darken(struct sheet *sheet, int sample, double share)
{
    for (int k = 0; k < 3; k++)
        sheet->samples[sample].rgb_linear.channel[k] *= share;
    sheet->bare[sample] = share > 0.97;
}

static int count_bare(const struct sheet *sheet)
{
    int bare = 0;

    for (int i = 0; i < SAMPLES; i++)
        bare += sheet->bare[i];
    return bare;
}

static void bare_paper_is_followed_over_a_soft_edge_into_a_shadow(void **state)
{
    struct sheet sheet;
    int within = 0, missed = 0;

    (void)state;
    lay_out(&sheet);
    for (int i = 0; i < SAMPLES; i++)
        darken(&sheet, i, 1 - 0.4 / (1 + exp((sheet.samples[i].at.x - 400) / 100)));
    assert_true(count_bare(&sheet) < SAMPLES / 2);
    paper_follow_shade(&sheet.paper, &sheet.chart, sheet.bare);
    for (int i = 0; i < SAMPLES; i++)
        if (quad_contains(&sheet.chart.corners, sheet.samples[i].at)) {
            within++;
            missed += !sheet.bare[i];
        }
    assert_true(missed < 0.05 * within);
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
    paper_follow_shade(&sheet.paper, &sheet.chart, sheet.bare);
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
    paper_follow_shade(&sheet.paper, &sheet.chart, sheet.bare);
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
    paper_follow_shade(&sheet.paper, &sheet.chart, sheet.bare);
    assert_int_equal(count_bare(&sheet), bare);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(bare_paper_is_followed_over_a_soft_edge_into_a_shadow),
        cmocka_unit_test(labels_under_all_cells_are_no_shadow),
        cmocka_unit_test(what_lies_here_and_there_in_gaps_is_no_shadow),
        cmocka_unit_test(coloured_ink_is_no_shadow_however_much_of_it_there_is),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
