#include "drawing.h"

#include "measurement/beside.h"

#include <math.h>

#define SIDE 100.0 /* of a cell, px */
#define ACROSS 15  /* samples along a side of the sheet, half a cell apart */
#define SAMPLES (ACROSS * ACROSS)

static const struct point cell = {350, 350}; /* in the middle of the sheet */

/* A sheet's samples of paper; each a little off, as grain makes it. */
struct sheet {
    struct paper paper;
    struct area_sample samples[SAMPLES];
    struct rgb rgb[SAMPLES];
};

static void lay(double slope, double shade, struct sheet *sheet)
{
    uint32_t seed = drawing_seed(1);

    *sheet = (struct sheet){.paper = {.samples = sheet->samples, .count = SAMPLES}};
    for (int i = 0; i < SAMPLES; i++) {
        struct point at = {(i % ACROSS) * SIDE / 2, (i / ACROSS) * SIDE / 2};
        double light = 1 + slope * (at.x - cell.x) / SIDE;

        light *= point_distance(at, cell) < 1.2 * SIDE ? shade : 1;
        sheet->samples[i].at = at;
        for (int k = 0; k < 3; k++)
            sheet->rgb[i].channel[k] = light + 0.006 * (drawing_random(&seed) - 0.5);
    }
}

static struct rgb read_at(const struct sheet *sheet, struct point at)
{
    struct rgb here;

    assert_true(beside_paper(&sheet->paper, sheet->rgb, at, SIDE, &here));
    return here;
}

static void a_steady_fall_of_light_over_a_cell_does_not_tilt_its_paper(void **state)
{
    struct sheet sheet;

    (void)state;
    lay(0.03, 1, &sheet);
    for (int k = 0; k < 3; k++) {
        drawing_assert_near(read_at(&sheet, cell).channel[k], 1, 0.002);
        /* at the rim of the sheet all samples lie to one side */
        drawing_assert_near(read_at(&sheet, (struct point){700, 350}).channel[k], 1.105, 0.012);
    }
}

static void a_shadow_over_one_cell_is_its_own(void **state)
{
    struct sheet sheet;

    (void)state;
    lay(0, 0.85, &sheet);
    for (int k = 0; k < 3; k++) {
        drawing_assert_near(read_at(&sheet, cell).channel[k], 0.85, 0.01);
        drawing_assert_near(read_at(&sheet, (struct point){50, 50}).channel[k], 1, 0.005);
    }
}

static void a_sample_with_a_mark_in_it_loses_its_weight(void **state)
{
    struct sheet sheet;
    int beside = 0;

    (void)state;
    lay(0, 1, &sheet);
    while (point_distance(sheet.samples[beside].at, cell) > 0.6 * SIDE)
        beside++;
    for (int k = 0; k < 3; k++)
        sheet.rgb[beside].channel[k] = 0.6;
    drawing_assert_near(read_at(&sheet, cell).channel[1], 1, 0.003);
}

static void two_samples_are_too_few(void **state)
{
    struct sheet sheet;
    struct rgb here;

    (void)state;
    lay(0, 1, &sheet);
    sheet.paper.count = 2;
    assert_false(beside_paper(&sheet.paper, sheet.rgb, (struct point){0, 0}, SIDE, &here));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_steady_fall_of_light_over_a_cell_does_not_tilt_its_paper),
        cmocka_unit_test(a_shadow_over_one_cell_is_its_own),
        cmocka_unit_test(a_sample_with_a_mark_in_it_loses_its_weight),
        cmocka_unit_test(two_samples_are_too_few),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
