#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "analysis/reflectance.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define TABLE_BANDS_MAX 120

static double uniform(double from, double to)
{
    return from + (to - from) * (rand() / (RAND_MAX + 1.0));
}

/* Read the rows of a table of Debian's colord-data, which steps by 5 nm. */
static double read_table(const char *path, double rows[][TABLE_BANDS_MAX], int row_count,
                         int *bands)
{
    FILE *file = fopen(path, "r");
    char line[8192];
    double first_nm = 0;

    if (!file)
        fail_msg("%s can't be read: install colord-data", path);
    while (fgets(line, sizeof line, file) && strncmp(line, "BEGIN_DATA\n", 11) != 0) {
        if (strncmp(line, "SPECTRAL_START_NM", 17) == 0)
            first_nm = strtod(line + 17 + strspn(line + 17, " \t\""), NULL);
        if (strncmp(line, "SPECTRAL_BANDS", 14) == 0)
            *bands = (int)strtol(line + 14 + strspn(line + 14, " \t\""), NULL, 10);
    }
    for (int row = 0; row < row_count; row++)
        for (int i = 0; i < *bands; i++)
            assert_int_equal(fscanf(file, "%lf", &rows[row][i]), 1);
    fclose(file);
    return first_nm;
}

/* The weights of a whole table: D50 times a matching function, 380 to 780 nm, white scaled to 1. */
static struct xyz table_xyz(const struct reflectance *reflectance)
{
    double matching[3][TABLE_BANDS_MAX], d50[1][TABLE_BANDS_MAX], sum[3] = {0}, part[3] = {0};
    struct xyz white = colour_white();
    int bands, light_bands;
    double first = read_table("/usr/share/colord/cmf/CIE1931-2deg-XYZ.cmf", matching, 3, &bands);
    double light_first =
        read_table("/usr/share/colord/illuminant/CIE-D50.sp", d50, 1, &light_bands);

    for (int i = 0; i < REFLECTANCE_BANDS; i++) {
        double nm = REFLECTANCE_FIRST_NM + i * REFLECTANCE_STEP_NM;

        for (int k = 0; k < 3; k++) {
            double weight =
                matching[k][(int)((nm - first) / 5)] * d50[0][(int)((nm - light_first) / 5)];

            sum[k] += weight;
            part[k] += weight * reflectance->band[i];
        }
    }
    return (struct xyz){white.X * part[0] / sum[0], white.Y * part[1] / sum[1],
                        white.Z * part[2] / sum[2]};
}

static void fill_by_chance(struct reflectance *reflectance)
{
    double centre = uniform(380, 730), width = uniform(20, 90), depth = uniform(0.1, 0.9);

    for (int i = 0; i < REFLECTANCE_BANDS; i++) {
        double away = (REFLECTANCE_FIRST_NM + i * REFLECTANCE_STEP_NM - centre) / width;

        reflectance->band[i] = 0.92 - depth * exp(-away * away / 2);
    }
}

static struct reflectance estimate(struct lab lab)
{
    struct reflectance_observer observer = reflectance_observer_d50();
    struct reflectance reflectance;
    struct error error = {0};

    if (reflectance_estimate(&observer, lab, &reflectance, &error))
        fail_msg("%s", error.message);
    for (int i = 0; i < REFLECTANCE_BANDS; i++)
        assert_true(reflectance.band[i] >= 0 && reflectance.band[i] <= 1);
    return reflectance;
}

/* Source: the CIE's 1931 observer and D50 as colord-data carries them. */
static void the_colour_of_a_reflectance_is_that_of_the_published_tables(void **state)
{
    struct reflectance_observer observer = reflectance_observer_d50();

    (void)state;
    srand(1);
    for (int i = 0; i < 20; i++) {
        struct reflectance reflectance;
        struct lab lab, expected;

        fill_by_chance(&reflectance);
        lab = reflectance_lab(&observer, &reflectance);
        expected = colour_lab_from_xyz(table_xyz(&reflectance));
        assert_true(colour_delta_e_2000(lab, expected) < 0.02);
    }
}

static void the_perfect_diffuser_is_white(void **state)
{
    struct reflectance_observer observer = reflectance_observer_d50();
    struct reflectance all;
    struct lab lab;

    (void)state;
    for (int i = 0; i < REFLECTANCE_BANDS; i++)
        all.band[i] = 1;
    lab = reflectance_lab(&observer, &all);
    assert_true(fabs(lab.L - 100) < 1e-6 && hypot(lab.a, lab.b) < 1e-4);
}

static void an_estimated_reflectance_has_the_colour_asked_for(void **state)
{
    struct reflectance_observer observer = reflectance_observer_d50();

    (void)state;
    srand(2);
    for (int i = 0; i < 300; i++) {
        struct reflectance true_one, estimated;
        struct lab lab;

        fill_by_chance(&true_one);
        lab = reflectance_lab(&observer, &true_one);
        estimated = estimate(lab);
        assert_true(colour_delta_e_2000(reflectance_lab(&observer, &estimated), lab) < 1e-4);
    }
}

static void a_grey_has_a_flat_reflectance(void **state)
{
    struct reflectance grey = estimate((struct lab){50, 0, 0});

    (void)state;
    for (int i = 0; i < REFLECTANCE_BANDS; i++)
        assert_true(fabs(grey.band[i] - 0.1842) < 0.001); /* ((50 + 16) / 116)^3 */
}

static void a_colour_no_surface_has_is_drawn_in_but_keeps_its_hue(void **state)
{
    struct reflectance_observer observer = reflectance_observer_d50();
    const struct lab beyond[] = {{60, 120, 60}, {90, -110, 90}, {20, 60, -120},
                                 {104, 0, 3},   {0, 0, 0},      {-2, 1, 1}};

    (void)state;
    for (size_t i = 0; i < sizeof beyond / sizeof *beyond; i++) {
        struct reflectance drawn = estimate(beyond[i]);
        struct lab lab = reflectance_lab(&observer, &drawn);

        assert_true(isfinite(lab.L) && isfinite(lab.a) && isfinite(lab.b));
        if (colour_chroma(beyond[i]) > 50)
            assert_true(
                fabs(remainder(colour_hue_degrees(lab) - colour_hue_degrees(beyond[i]), 360)) < 3);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_colour_of_a_reflectance_is_that_of_the_published_tables),
        cmocka_unit_test(the_perfect_diffuser_is_white),
        cmocka_unit_test(an_estimated_reflectance_has_the_colour_asked_for),
        cmocka_unit_test(a_grey_has_a_flat_reflectance),
        cmocka_unit_test(a_colour_no_surface_has_is_drawn_in_but_keeps_its_hue),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
