#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "values/colour.h"
#include "values/linear.h"

#include <math.h>

/*
 * Source: Sharma, Wu and Dalal, "The CIEDE2000 color-difference formula", Color Research and
 * Application 30(1), 2005, table 1; typed from memory.
 */
static const struct {
    struct lab one;
    struct lab other;
    double difference;
} pairs[34] = {
    {{50, 2.6772, -79.7751}, {50, 0, -82.7485}, 2.0425},
    {{50, 3.1571, -77.2803}, {50, 0, -82.7485}, 2.8615},
    {{50, 2.8361, -74.0200}, {50, 0, -82.7485}, 3.4412},
    {{50, -1.3802, -84.2814}, {50, 0, -82.7485}, 1.0000},
    {{50, -1.1848, -84.8006}, {50, 0, -82.7485}, 1.0000},
    {{50, -0.9009, -85.5211}, {50, 0, -82.7485}, 1.0000},
    {{50, 0, 0}, {50, -1, 2}, 2.3669},
    {{50, -1, 2}, {50, 0, 0}, 2.3669},
    {{50, 2.49, -0.001}, {50, -2.49, 0.0009}, 7.1792},
    {{50, 2.49, -0.001}, {50, -2.49, 0.0010}, 7.1792},
    {{50, 2.49, -0.001}, {50, -2.49, 0.0011}, 7.2195},
    {{50, 2.49, -0.001}, {50, -2.49, 0.0012}, 7.2195},
    {{50, -0.001, 2.49}, {50, 0.0009, -2.49}, 4.8045},
    {{50, -0.001, 2.49}, {50, 0.0010, -2.49}, 4.8045},
    {{50, -0.001, 2.49}, {50, 0.0011, -2.49}, 4.7461},
    {{50, 2.5, 0}, {50, 0, -2.5}, 4.3065},
    {{50, 2.5, 0}, {73, 25, -18}, 27.1492},
    {{50, 2.5, 0}, {61, -5, 29}, 22.8977},
    {{50, 2.5, 0}, {56, -27, -3}, 31.9030},
    {{50, 2.5, 0}, {58, 24, 15}, 19.4535},
    {{50, 2.5, 0}, {50, 3.1736, 0.5854}, 1.0000},
    {{50, 2.5, 0}, {50, 3.2972, 0}, 1.0000},
    {{50, 2.5, 0}, {50, 1.8634, 0.5757}, 1.0000},
    {{50, 2.5, 0}, {50, 3.2592, 0.3350}, 1.0000},
    {{60.2574, -34.0099, 36.2677}, {60.4626, -34.1751, 39.4387}, 1.2644},
    {{63.0109, -31.0961, -5.8663}, {62.8187, -29.7946, -4.0864}, 1.2630},
    {{61.2901, 3.7196, -5.3901}, {61.4292, 2.2480, -4.9620}, 1.8731},
    {{35.0831, -44.1164, 3.7933}, {35.0232, -40.0716, 1.5901}, 1.8645},
    {{22.7233, 20.0904, -46.6940}, {23.0331, 14.9730, -42.5619}, 2.0373},
    {{36.4612, 47.8580, 18.3852}, {36.2715, 50.5065, 21.2231}, 1.4146},
    {{90.8027, -2.0831, 1.4410}, {91.1528, -1.6435, 0.0447}, 1.4441},
    {{90.9257, -0.5406, -0.9208}, {88.6381, -0.8985, -0.7239}, 1.5381},
    {{6.7747, -0.2908, -2.4247}, {5.8714, -0.0985, -2.2286}, 0.6377},
    {{2.0776, 0.0795, -1.1350}, {0.9033, -0.0636, -0.5514}, 0.9082},
};

static void all_34_published_pairs_come_out_to_four_decimals(void **state)
{
    (void)state;
    for (int i = 0; i < 34; i++) {
        double forth = colour_delta_e_2000(pairs[i].one, pairs[i].other);
        double back = colour_delta_e_2000(pairs[i].other, pairs[i].one);

        assert_true(fabs(forth - pairs[i].difference) < 0.00005);
        assert_true(fabs(back - pairs[i].difference) < 0.00005);
    }
}

static void check_lab(struct lab lab, double L, double a, double b, double tolerance)
{
    assert_true(fabs(lab.L - L) < tolerance);
    assert_true(fabs(lab.a - a) < tolerance);
    assert_true(fabs(lab.b - b) < tolerance);
}

/* Source: ICC.1:2022, 6.3.4.3: the white of the connection space is 0.9642, 1.0, 0.8249. */
static void the_icc_white_is_100_0_0(void **state)
{
    struct xyz white = colour_white();

    (void)state;
    assert_true(fabs(white.X - 0.9642) < 1e-9);
    assert_true(fabs(white.Y - 1.0) < 1e-9);
    assert_true(fabs(white.Z - 0.8249) < 1e-9);
    check_lab(colour_lab_from_xyz(white), 100, 0, 0, 1e-9);
}

/* Source: CIE 15:2004, equations 8.3 to 8.11, worked with the ICC white; the fourth and fifth lie
 * on the straight part of the curve. */
static void worked_conversions_from_xyz_come_out(void **state)
{
    static const struct {
        struct xyz xyz;
        struct lab lab;
    } worked[] = {
        {{0.173556, 0.18, 0.148482}, {49.496108, 0.000000, 0.000000}},
        {{0.5, 0.5, 0.5}, {76.069261, 4.852017, -10.519333}},
        {{0.2, 0.1, 0.05}, {37.842430, 63.897329, 14.268505}},
        {{0.0005, 0.001, 0.0008}, {0.903296, -1.874478, 0.047011}},
        {{0, 0, 0}, {0.000000, 0.000000, 0.000000}},
        {{0.3, 0.6, 0.1}, {81.838189, -82.907508, 69.703013}},
    };

    (void)state;
    for (size_t i = 0; i < sizeof worked / sizeof *worked; i++) {
        struct lab lab = colour_lab_from_xyz(worked[i].xyz);
        struct xyz back = colour_xyz_from_lab(lab);

        check_lab(lab, worked[i].lab.L, worked[i].lab.a, worked[i].lab.b, 1e-5);
        assert_true(fabs(back.X - worked[i].xyz.X) < 1e-9);
        assert_true(fabs(back.Y - worked[i].xyz.Y) < 1e-9);
        assert_true(fabs(back.Z - worked[i].xyz.Z) < 1e-9);
    }
}

static void chroma_and_hue_are_the_polar_form(void **state)
{
    (void)state;
    assert_true(fabs(colour_chroma((struct lab){50, 3, -4}) - 5) < 1e-12);
    assert_true(fabs(colour_hue_degrees((struct lab){50, 0, 10}) - 90) < 1e-12);
    assert_true(fabs(colour_hue_degrees((struct lab){50, -10, 0}) - 180) < 1e-12);
    assert_true(fabs(colour_hue_degrees((struct lab){50, 10, -10}) - 315) < 1e-12);
}

static const struct lab places[] = {{50, 20, 30},  {80, -30, 40}, {30, 10, -45}, {65, 50, 20},
                                    {20, 5, 5},    {90, 2, -3},   {45, -40, -5}, {55, 0.5, 0.5},
                                    {28, 15, -50}, {82, 3, 80}};

static double by_metric(const double metric[9], const double step[3])
{
    double sum = 0;

    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            sum += step[i] * metric[3 * i + j] * step[j];
    return sqrt(sum);
}

static void the_metric_agrees_with_small_differences(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof places / sizeof *places; i++) {
        double metric[9];

        colour_metric(places[i], metric);
        for (int k = 0; k < 26; k++) {
            const double step[3] = {0.03 * (k % 3 - 1), 0.03 * (k / 3 % 3 - 1), 0.03 * (k / 9 - 1)};
            struct lab before = {places[i].L - step[0] / 2, places[i].a - step[1] / 2,
                                 places[i].b - step[2] / 2};
            struct lab after = {places[i].L + step[0] / 2, places[i].a + step[1] / 2,
                                places[i].b + step[2] / 2};
            double wanted = colour_delta_e_2000(before, after);

            assert_true(fabs(by_metric(metric, step) - wanted) < 0.01 * wanted + 1e-6);
        }
    }
}

static void the_metric_is_symmetric_and_positive(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof places / sizeof *places; i++) {
        double metric[9], values[3];

        colour_metric(places[i], metric);
        for (int k = 0; k < 3; k++)
            assert_true(metric[3 * k + (k + 1) % 3] == metric[3 * ((k + 1) % 3) + k]);
        linear_eigenvalues_3x3(metric, values);
        assert_true(values[2] > 0);
    }
}

static void check_srgb(struct lab lab, double red, double green, double blue)
{
    struct rgb srgb;

    colour_srgb_from_lab(&lab, 1, &srgb);
    assert_true(fabs(srgb.channel[0] - red) < 0.002);
    assert_true(fabs(srgb.channel[1] - green) < 0.002);
    assert_true(fabs(srgb.channel[2] - blue) < 0.002);
}

/* Source: CIELAB D50 of sRGB's corners, from memory, as commonly printed to two digits; the grey
 * by IEC 61966-2-1 from Y = 0.184187. */
static void colours_are_shown_in_srgb(void **state)
{
    (void)state;
    check_srgb((struct lab){100, 0, 0}, 1, 1, 1);
    check_srgb((struct lab){0, 0, 0}, 0, 0, 0);
    check_srgb((struct lab){50, 0, 0}, 0.4663, 0.4663, 0.4663);
    check_srgb((struct lab){29.57, 68.30, -112.03}, 0, 0, 1);
}

static void colours_that_srgb_lacks_are_clipped_to_it(void **state)
{
    const struct lab vivid[3] = {{60, 120, 100}, {90, -120, 100}, {110, 0, 0}};
    struct rgb srgb[3];

    (void)state;
    colour_srgb_from_lab(vivid, 3, srgb);
    for (int i = 0; i < 9; i++) {
        assert_true(srgb[i / 3].channel[i % 3] >= 0);
        assert_true(srgb[i / 3].channel[i % 3] <= 1);
    }
    assert_true(srgb[0].channel[0] > 0.99);
    assert_true(srgb[0].channel[1] < 0.01);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(all_34_published_pairs_come_out_to_four_decimals),
        cmocka_unit_test(the_icc_white_is_100_0_0),
        cmocka_unit_test(worked_conversions_from_xyz_come_out),
        cmocka_unit_test(chroma_and_hue_are_the_polar_form),
        cmocka_unit_test(the_metric_agrees_with_small_differences),
        cmocka_unit_test(the_metric_is_symmetric_and_positive),
        cmocka_unit_test(colours_are_shown_in_srgb),
        cmocka_unit_test(colours_that_srgb_lacks_are_clipped_to_it),
    };

    return cmocka_run_group_tests_name("colour", tests, NULL, NULL);
}
