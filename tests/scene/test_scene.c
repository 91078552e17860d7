/*
 * The scene renderer's own checks: what it calls true must be so.
 */

#include "camera.h"
#include "card_colours.h"
#include "inks.h"
#include "sheet.h"
#include "stage.h"
#include "view.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

static void the_spectra_of_the_card_integrate_to_its_tabulated_lab(void **state)
{
    struct observer observer = observer_load();

    (void)state;
    for (int edition = EDITION_2005; edition <= EDITION_INVENTED; edition++)
        for (int patch = 0; patch < patch_count((enum edition)edition); patch++) {
            struct spectrum reflectance =
                patch_reflectance(&observer, (enum edition)edition, patch);
            const double *wanted = patch_lab((enum edition)edition, patch);
            double lab[3];

            observer_lab(&observer, &reflectance, lab);
            for (int i = 0; i < 3; i++)
                assert_true(fabs(lab[i] - wanted[i]) < 1e-9);
            for (int i = 0; i < BANDS; i++)
                assert_true(reflectance.at[i] > 0.0 && reflectance.at[i] < 1.0);
        }
}

static void assert_white(const struct spectrum *light, double x, double y, double tolerance)
{
    struct observer observer = observer_load();
    double xyz[3], sum;

    observer_white(&observer, light, xyz);
    sum = xyz[0] + xyz[1] + xyz[2];
    assert_true(fabs(xyz[0] / sum - x) < tolerance);
    assert_true(fabs(xyz[1] / sum - y) < tolerance);
}

/* Source: CIE 015:2018, chromaticities of the illuminants, 2 degree observer; from memory. */
static void the_illuminants_have_the_white_points_that_the_cie_publishes(void **state)
{
    struct spectrum a = illuminant_load("A"), d50 = illuminant_load("D50");
    struct spectrum d65 = illuminant_load("D65"), f11 = illuminant_load("F11");

    (void)state;
    assert_white(&a, 0.44757, 0.40745, 5e-5);
    assert_white(&d50, 0.34567, 0.35850, 5e-5);
    assert_white(&d65, 0.31272, 0.32903, 5e-5);
    assert_white(&f11, 0.3805, 0.3769, 3e-4);
}

static void daylight_and_planck_meet_the_tabulated_illuminants(void **state)
{
    struct spectrum d75 = illuminant_daylight(7504.0), a = illuminant_planck(2856.0);

    (void)state;
    assert_white(&d75, 0.29902, 0.31485, 2e-4); /* Source: CIE 015:2018, D75 */
    assert_white(&a, 0.44757, 0.40745, 5e-5);   /* Source: the same, A */
}

/* Source: ISO 11664-4, CIELAB of the perfect diffuser. */
static void a_perfect_white_is_lab_100_0_0(void **state)
{
    struct observer observer = observer_load();
    struct spectrum white;
    double lab[3];

    (void)state;
    for (int i = 0; i < BANDS; i++)
        white.at[i] = 1.0;
    observer_lab(&observer, &white, lab);
    assert_true(fabs(lab[0] - 100.0) < 1e-9);
    assert_true(fabs(lab[1]) < 1e-9 && fabs(lab[2]) < 1e-9);
}

/* Real cameras leave some tenths of their sensitivity unexplained (common knowledge, no source). */
static void no_camera_is_a_linear_combination_of_the_observer(void **state)
{
    struct observer observer = observer_load();

    (void)state;
    assert_true(cameras_count() >= 6);
    for (int camera = 0; camera < cameras_count(); camera++) {
        double unlike = camera_unlike_observer(camera, &observer);

        print_message("%-14s %.3f of its sensitivity is not the observer's\n", camera_name(camera),
                      unlike);
        assert_true(unlike > 0.1 && unlike < 0.6);
    }
}

static void every_camera_keeps_white_white(void **state)
{
    struct observer observer = observer_load();

    (void)state;
    for (int camera = 0; camera < cameras_count(); camera++) {
        double matrix[3][3];

        camera_matrix(camera, &observer, matrix);
        for (int i = 0; i < 3; i++)
            assert_true(fabs(matrix[i][0] + matrix[i][1] + matrix[i][2] - 1.0) < 1e-12);
    }
}

static void inks_differ_in_name_and_stay_within_0_and_1(void **state)
{
    struct spectrum paper = paper_reflectance(PAPER_CREAM);

    (void)state;
    assert_true(inks_full_count() >= 64);
    for (int ink = 0; ink < inks_count(); ink++) {
        struct spectrum full = ink_reflectance(ink, &paper, 1.0);
        char name[INK_NAME_SIZE], other[INK_NAME_SIZE];

        ink_name(ink, name);
        for (int i = 0; i < BANDS; i++)
            assert_true(full.at[i] > 0.0 && full.at[i] < paper.at[i] + 1e-9);
        for (int earlier = 0; earlier < ink; earlier++) {
            ink_name(earlier, other);
            assert_string_not_equal(name, other);
        }
    }
}

static void a_paper_without_ink_is_the_paper(void **state)
{
    struct spectrum paper = paper_reflectance(PAPER_WHITE);

    (void)state;
    for (int ink = 0; ink < inks_count(); ink++) {
        struct spectrum bare = ink_reflectance(ink, &paper, 0.0);

        for (int i = 0; i < BANDS; i++)
            assert_true(fabs(bare.at[i] - paper.at[i]) < 1e-9);
    }
}

/* The way out through the lens and the way back must agree, tilted, turned and distorted. */
static void a_point_is_seen_where_its_ray_leaves(void **state)
{
    const struct point frame[4] = {{-120, -90}, {120, -90}, {120, 90}, {-120, 90}};
    struct stance stance = {30.0, 70.0, 12.0, 0.8, -0.04, 0.9};
    struct view view = view_fit(&stance, 2000, 1500, frame, 4);

    (void)state;
    for (int i = 0; i < 100; i++) {
        struct point place = {-110.0 + 24.0 * (i % 10), -80.0 + 18.0 * (i / 10)};
        double height = i % 3 * 5.0, direction[3];
        struct point seen = view_project(&view, place, height), back;

        view_ray(&view, seen.x, seen.y, direction);
        back = view_meet(&view, direction, height);
        assert_true(fabs(back.x - place.x) < 0.01 && fabs(back.y - place.y) < 0.01);
        assert_true(seen.x > 0.0 && seen.x < 2000.0 && seen.y > 0.0 && seen.y < 1500.0);
    }
}

/* Distances along the paper stay what they are when it curls. */
static void a_curled_sheet_keeps_its_length(void **state)
{
    struct sheet sheet = {.width_mm = 200.0,
                          .height_mm = 150.0,
                          .lift = {1.0, 0.0},
                          .lift_start_mm = -20.0,
                          .bend_per_mm = 20.0 / (120.0 * 120.0)};
    double length = 0.0, last_height, height;
    struct point last, next;

    (void)state;
    sheet.plate = plate_make((struct point){0, 0}, 0.0, 200.0, 150.0, 0.1);
    last = sheet_in_space(&sheet, (struct point){0.0, 75.0}, &last_height);
    for (int i = 1; i <= 2000; i++) {
        next = sheet_in_space(&sheet, (struct point){i / 10.0, 75.0}, &height);
        length += hypot(hypot(next.x - last.x, next.y - last.y), height - last_height);
        last = next;
        last_height = height;
    }
    assert_true(fabs(length - 200.0) < 0.001);
    assert_true(height > 15.0);
}

/* A camera that is the observer, so that what is painted can be read as XYZ. */
static struct receptor observer_receptor(const struct observer *observer)
{
    struct receptor receptor;

    memset(&receptor, 0, sizeof receptor);
    for (int i = 0; i < 3; i++)
        receptor.weight[0][i] = observer->d50_weight[i];
    return receptor;
}

static struct sight sight_of(const struct stage *stage, struct point desk, double height)
{
    struct point seen = view_project(&stage->view, desk, height);
    struct sight sight = {.view = &stage->view, .footprint_mm = 0.1};

    view_ray(&stage->view, seen.x, seen.y, sight.direction);
    sight.desk = view_meet(&stage->view, sight.direction, 0.0);
    return sight;
}

static void add_colour(const struct response *colour, double xyz[3], int places)
{
    for (int k = 0; k < 3; k++)
        xyz[k] += (double)colour->rgb[0][k] / places;
}

static void assert_xyz_is_lab(const struct observer *observer, const double xyz[3],
                              const double lab[3])
{
    double wanted[3];

    observer_xyz_from_lab(observer, lab, wanted);
    for (int k = 0; k < 3; k++)
        assert_true(fabs(xyz[k] - wanted[k]) < 0.004 * wanted[k] + 0.0002);
}

enum { PLACES = 30 };

static struct stage *start_stage(void)
{
    struct stage *stage = calloc(1, sizeof *stage);
    struct plan plan = plan_draw(GRADE_HARD, 3);
    struct receptor receptor;

    assert_non_null(stage);
    plan.curl_mm = 0.0; /* the light on a slope is no part of the truth */
    plan.marks = 0;
    stage_build(stage, &plan);
    receptor = observer_receptor(&stage->observer);
    free(stage->sheet[0].ink_response);
    sheet_expose(&stage->sheet[0], &receptor);
    card_expose(&stage->card[0], &stage->observer, &receptor);
    return stage;
}

static void a_painted_patch_averages_to_its_tabulated_lab(void **state)
{
    struct stage *stage = start_stage();
    const struct card *card = &stage->card[0];

    (void)state;
    for (int patch = 0; patch < PATCHES; patch++) {
        double xyz[3] = {0.0, 0.0, 0.0};

        for (int i = 0; i < PLACES * PLACES; i++) {
            struct point local = card_patch_place(card, patch, 1.2 * (i % PLACES) / PLACES - 0.6,
                                                  1.2 * (double)(i / PLACES) / PLACES - 0.6);
            struct sight sight =
                sight_of(stage, plate_desk(&card->plate, local), card->plate.height);
            struct response colour = {{{0.0f}}};

            card_paint(card, &sight, &colour);
            add_colour(&colour, xyz, PLACES * PLACES);
        }
        assert_xyz_is_lab(&stage->observer, xyz,
                          patch_lab((enum edition)stage->plan.edition, patch));
    }
    stage_release(stage);
    free(stage);
}

static void a_painted_cell_averages_to_its_truth(void **state)
{
    struct stage *stage = start_stage();
    const struct sheet *sheet = &stage->sheet[0];

    (void)state;
    for (int cell = 0; cell < sheet->rows * sheet->columns; cell++) {
        struct point corner =
            sheet_cell_corner(sheet, cell / sheet->columns, cell % sheet->columns);
        double xyz[3] = {0.0, 0.0, 0.0}, lab[3];

        for (int i = 0; i < PLACES * PLACES; i++) {
            double height, across = 0.2 + 0.6 * (i % PLACES + 0.5) / PLACES;
            double down = 0.2 + 0.6 * (i / PLACES + 0.5) / PLACES;
            struct point place = {corner.x + across * sheet->cell_width_mm,
                                  corner.y + down * sheet->cell_height_mm};
            struct point desk = sheet_in_space(sheet, place, &height);
            struct sight sight = sight_of(stage, desk, height);
            struct response colour = {{{0.0f}}};

            sheet_paint(sheet, &sight, &colour);
            add_colour(&colour, xyz, PLACES * PLACES);
        }
        sheet_cell_lab(sheet, &stage->observer, cell, lab);
        assert_xyz_is_lab(&stage->observer, xyz, lab);
    }
    stage_release(stage);
    free(stage);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_spectra_of_the_card_integrate_to_its_tabulated_lab),
        cmocka_unit_test(the_illuminants_have_the_white_points_that_the_cie_publishes),
        cmocka_unit_test(daylight_and_planck_meet_the_tabulated_illuminants),
        cmocka_unit_test(a_perfect_white_is_lab_100_0_0),
        cmocka_unit_test(no_camera_is_a_linear_combination_of_the_observer),
        cmocka_unit_test(every_camera_keeps_white_white),
        cmocka_unit_test(inks_differ_in_name_and_stay_within_0_and_1),
        cmocka_unit_test(a_paper_without_ink_is_the_paper),
        cmocka_unit_test(a_point_is_seen_where_its_ray_leaves),
        cmocka_unit_test(a_curled_sheet_keeps_its_length),
        cmocka_unit_test(a_painted_patch_averages_to_its_tabulated_lab),
        cmocka_unit_test(a_painted_cell_averages_to_its_truth),
    };

    return cmocka_run_group_tests_name("scene", tests, NULL, NULL);
}
