#include "spectrum.h"

#include "basics.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define COLORD_DIRECTORY "/usr/share/colord"

enum { SAMPLES_MAX = 1000 };

double spectrum_nm(int band)
{
    return FIRST_NM + STEP_NM * band;
}

double spectrum_dot(const struct spectrum *a, const struct spectrum *b)
{
    double sum = 0.0;

    for (int i = 0; i < BANDS; i++)
        sum += a->at[i] * b->at[i];
    return sum;
}

struct spectrum spectrum_product(const struct spectrum *a, const struct spectrum *b)
{
    struct spectrum product;

    for (int i = 0; i < BANDS; i++)
        product.at[i] = a->at[i] * b->at[i];
    return product;
}

/* Leaves the file after `keyword`, a whole token. */
static void skip_to(FILE *file, const char *keyword, const char *path)
{
    char token[128];

    while (fscanf(file, "%127s", token) == 1)
        if (!strcmp(token, keyword))
            return;
    fail("%s: no %s in it", path, keyword);
}

static double read_number(FILE *file, const char *path)
{
    double number;

    if (fscanf(file, "%lf", &number) != 1)
        fail("%s: a number was expected", path);
    return number;
}

static double interpolate(const double *samples, int count, double position)
{
    int low = (int)clamp(floor(position), 0.0, count - 2);
    double part = clamp(position - low, 0.0, 1.0);

    return samples[low] * (1.0 - part) + samples[low + 1] * part;
}

struct spectrum spectrum_load(const char *path, int row)
{
    struct spectrum spectrum;
    double samples[SAMPLES_MAX];
    double start_nm, end_nm;
    int count;
    FILE *file = fopen(path, "r");

    if (!file)
        fail("%s can't be opened; install the package colord-data", path);
    skip_to(file, "SPECTRAL_START_NM", path);
    start_nm = read_number(file, path);
    skip_to(file, "SPECTRAL_END_NM", path);
    end_nm = read_number(file, path);
    skip_to(file, "SPECTRAL_BANDS", path);
    count = (int)read_number(file, path);
    if (count < 2 || count > SAMPLES_MAX)
        fail("%s: %d samples", path, count);
    skip_to(file, "BEGIN_DATA", path);
    for (int line = 0; line <= row; line++)
        for (int i = 0; i < count; i++)
            samples[i] = read_number(file, path);
    fclose(file);
    for (int i = 0; i < BANDS; i++)
        spectrum.at[i] = interpolate(
            samples, count, (spectrum_nm(i) - start_nm) / (end_nm - start_nm) * (count - 1));
    return spectrum;
}

struct spectrum illuminant_load(const char *name)
{
    char path[256];

    snprintf(path, sizeof path, COLORD_DIRECTORY "/illuminant/CIE-%s.sp", name);
    return spectrum_load(path, 0);
}

/* The weights of the CIE's S1 and S2 beside 1 of S0. */
static void daylight_components(double kelvin, double component[3])
{
    double t = 1000.0 / kelvin;
    double x = kelvin <= 7000.0 ? 0.244063 + t * (0.09911 + t * (2.9678 - 4.6070 * t))
                                : 0.237040 + t * (0.24748 + t * (1.9018 - 2.0064 * t));
    double y = -3.000 * x * x + 2.870 * x - 0.275;
    double m = 0.0241 + 0.2562 * x - 0.7341 * y;

    component[0] = 1.0;
    component[1] = (-1.3515 - 1.7703 * x + 5.9114 * y) / m;
    component[2] = (0.0300 - 31.4424 * x + 30.0717 * y) / m;
}

static double determinant(double a[3], double b[3], double c[3])
{
    return a[0] * (b[1] * c[2] - b[2] * c[1]) - a[1] * (b[0] * c[2] - b[2] * c[0]) +
           a[2] * (b[0] * c[1] - b[1] * c[0]);
}

struct spectrum illuminant_daylight(double kelvin)
{
    /* The CIE's D illuminants lie at 1.4388/1.4380 times their nominal temperature. */
    static const double known_kelvin[3] = {5002.8, 5503.1, 6503.6};
    struct spectrum known[3] = {illuminant_load("D50"), illuminant_load("D55"),
                                illuminant_load("D65")};
    struct spectrum light;
    double component[3][3], wanted[3], weight[3], whole;

    for (int i = 0; i < 3; i++)
        daylight_components(known_kelvin[i], component[i]);
    daylight_components(kelvin, wanted);
    whole = determinant(component[0], component[1], component[2]);
    weight[0] = determinant(wanted, component[1], component[2]) / whole;
    weight[1] = determinant(component[0], wanted, component[2]) / whole;
    weight[2] = determinant(component[0], component[1], wanted) / whole;
    for (int i = 0; i < BANDS; i++) {
        light.at[i] = 0.0;
        for (int j = 0; j < 3; j++)
            light.at[i] += weight[j] * known[j].at[i];
    }
    return light;
}

struct spectrum illuminant_planck(double kelvin)
{
    struct spectrum light;

    for (int i = 0; i < BANDS; i++) {
        double nm = spectrum_nm(i);

        light.at[i] = pow(560.0 / nm, 5.0) * expm1(1.4388e7 / (560.0 * kelvin)) /
                      expm1(1.4388e7 / (nm * kelvin));
    }
    return light;
}

struct spectrum illuminant_led(double phosphor)
{
    struct spectrum light;

    for (int i = 0; i < BANDS; i++) {
        double nm = spectrum_nm(i);
        double width_nm = nm < 575.0 ? 48.0 : 66.0;

        light.at[i] = exp(-0.5 * square((nm - 452.0) / 9.5)) +
                      phosphor * exp(-0.5 * square((nm - 575.0) / width_nm));
    }
    return light;
}

struct observer observer_load(void)
{
    struct observer observer;
    struct spectrum d50 = illuminant_load("D50");
    struct spectrum white;
    double luminance;

    for (int i = 0; i < BANDS; i++)
        white.at[i] = 1.0;
    for (int i = 0; i < 3; i++)
        observer.matching[i] = spectrum_load(COLORD_DIRECTORY "/cmf/CIE1931-2deg-XYZ.cmf", i);
    luminance = spectrum_dot(&observer.matching[1], &d50);
    for (int i = 0; i < 3; i++) {
        observer.d50_weight[i] = spectrum_product(&observer.matching[i], &d50);
        for (int j = 0; j < BANDS; j++)
            observer.d50_weight[i].at[j] /= luminance;
        observer.d50_white[i] = spectrum_dot(&observer.d50_weight[i], &white);
    }
    return observer;
}

void observer_white(const struct observer *observer, const struct spectrum *light, double xyz[3])
{
    double luminance = spectrum_dot(&observer->matching[1], light);

    for (int i = 0; i < 3; i++)
        xyz[i] = spectrum_dot(&observer->matching[i], light) / luminance;
}

static double lab_function(double t)
{
    return t > 216.0 / 24389.0 ? cbrt(t) : (24389.0 / 27.0 * t + 16.0) / 116.0;
}

static double lab_function_inverse(double f)
{
    return f > 6.0 / 29.0 ? f * f * f : (116.0 * f - 16.0) * 27.0 / 24389.0;
}

void observer_lab(const struct observer *observer, const struct spectrum *reflectance,
                  double lab[3])
{
    double f[3];

    for (int i = 0; i < 3; i++)
        f[i] = lab_function(spectrum_dot(&observer->d50_weight[i], reflectance) /
                            observer->d50_white[i]);
    lab[0] = 116.0 * f[1] - 16.0;
    lab[1] = 500.0 * (f[0] - f[1]);
    lab[2] = 200.0 * (f[1] - f[2]);
}

void observer_xyz_from_lab(const struct observer *observer, const double lab[3], double xyz[3])
{
    double f = (lab[0] + 16.0) / 116.0;

    xyz[0] = observer->d50_white[0] * lab_function_inverse(f + lab[1] / 500.0);
    xyz[1] = observer->d50_white[1] * lab_function_inverse(f);
    xyz[2] = observer->d50_white[2] * lab_function_inverse(f - lab[2] / 200.0);
}
