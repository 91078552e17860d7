#include "accuracy/spectra.h"

#include "values/linear.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define TABLES "/usr/share/colord/"
#define SOURCE_BANDS_MAX 600

/* --- reading --- */

static double header_number(const char *text, const char *key)
{
    const char *at = strstr(text, key);

    return at ? strtod(at + strlen(key), NULL) : 0;
}

static double at_wavelength(const double *bands, int count, double first, double last, double nm)
{
    double place = (nm - first) / (last - first) * (count - 1);
    int i = (int)floor(place);

    if (place < 0 || place > count - 1)
        return 0;
    if (i > count - 2)
        i = count - 2;
    return bands[i] + (place - i) * (bands[i + 1] - bands[i]);
}

static void parse_spectra(const char *text, struct spectrum *spectra, int count)
{
    double first = header_number(text, "SPECTRAL_START_NM");
    double last = header_number(text, "SPECTRAL_END_NM");
    int bands = (int)header_number(text, "SPECTRAL_BANDS");
    const char *data = strstr(text, "\nBEGIN_DATA\n");
    double source[SOURCE_BANDS_MAX] = {0};
    char *next = data ? (char *)data + strlen("\nBEGIN_DATA\n") : NULL;

    for (int k = 0; k < count && next && bands <= SOURCE_BANDS_MAX; k++) {
        for (int i = 0; i < bands; i++)
            source[i] = strtod(next, &next);
        for (int i = 0; i < SPECTRUM_BANDS; i++)
            spectra[k].band[i] =
                at_wavelength(source, bands, first, last, SPECTRUM_FIRST_NM + i * SPECTRUM_STEP_NM);
    }
}

enum status spectra_read(const char *path, struct spectrum *spectra, int count, struct error *error)
{
    static const size_t size = 1 << 17;
    FILE *file = fopen(path, "r");
    char *text = calloc(1, size);
    size_t length = file && text ? fread(text, 1, size - 1, file) : 0;

    memset(spectra, 0, sizeof *spectra * (size_t)count);
    if (length)
        parse_spectra(text, spectra, count);
    free(text);
    if (file)
        fclose(file);
    if (!(spectra[count - 1].band[SPECTRUM_BANDS / 2] > 0))
        return error_set(error, STATUS_FILE, "'%s' gave no spectra: install colord-data", path);
    return STATUS_OK;
}

enum status observer_read(struct observer *observer, struct error *error)
{
    enum status status =
        spectra_read(TABLES "cmf/CIE1931-2deg-XYZ.cmf", observer->matching, 3, error);

    if (!status)
        status = spectra_read(TABLES "illuminant/CIE-D50.sp", &observer->d50, 1, error);
    for (int k = 0; k < 3; k++) {
        observer->white[k] = 0;
        for (int i = 0; i < SPECTRUM_BANDS; i++)
            observer->white[k] += observer->matching[k].band[i] * observer->d50.band[i];
    }
    return status;
}

struct lab observer_lab(const struct observer *observer, const struct spectrum *reflectance)
{
    struct xyz white = colour_white();
    double part[3] = {0};

    for (int k = 0; k < 3; k++)
        for (int i = 0; i < SPECTRUM_BANDS; i++)
            part[k] += observer->matching[k].band[i] * observer->d50.band[i] *
                       reflectance->band[i] / observer->white[k];
    return colour_lab_from_xyz(
        (struct xyz){part[0] * white.X, part[1] * white.Y, part[2] * white.Z});
}

/* --- reflectances of a given colour --- */

struct reflectance_search {
    const struct observer *observer;
    const struct spectrum *shape;
    struct lab lab;
};

#define COLOUR_WEIGHT 300.0

static struct spectrum from_logit(const double *logit)
{
    struct spectrum reflectance;

    for (int i = 0; i < SPECTRUM_BANDS; i++)
        reflectance.band[i] = 0.5 * (1 + tanh(logit[i]));
    return reflectance;
}

static void search_residuals(const double *logit, void *context, double *residuals)
{
    const struct reflectance_search *search = context;
    struct spectrum reflectance = from_logit(logit);
    struct lab lab = observer_lab(search->observer, &reflectance);

    for (int i = 0; i + 1 < SPECTRUM_BANDS; i++)
        residuals[i] =
            logit[i + 1] - logit[i] - (search->shape->band[i + 1] - search->shape->band[i]);
    residuals[SPECTRUM_BANDS - 1] = COLOUR_WEIGHT * (lab.L - search->lab.L);
    residuals[SPECTRUM_BANDS] = COLOUR_WEIGHT * (lab.a - search->lab.a);
    residuals[SPECTRUM_BANDS + 1] = COLOUR_WEIGHT * (lab.b - search->lab.b);
}

enum status observer_reflectance(const struct observer *observer, struct lab lab,
                                 const struct spectrum *shape, struct spectrum *reflectance,
                                 struct error *error)
{
    struct reflectance_search search = {observer, shape, lab};
    struct linear_residuals problem = {search_residuals, &search, SPECTRUM_BANDS,
                                       SPECTRUM_BANDS + 2, 60};
    double logit[SPECTRUM_BANDS];
    double level = atanh(2 * pow((lab.L + 16) / 116, 3) - 1);
    struct lab reached;
    enum status status;

    for (int i = 0; i < SPECTRUM_BANDS; i++)
        logit[i] = level + shape->band[i];
    status = linear_minimise(&problem, logit, error);
    *reflectance = from_logit(logit);
    reached = observer_lab(observer, reflectance);
    if (!status && colour_delta_e_2000(reached, lab) > 0.01)
        return error_set(error, STATUS_QUALITY, "no reflectance for Lab %.1f %.1f %.1f: off by %g",
                         lab.L, lab.a, lab.b, colour_delta_e_2000(reached, lab));
    return status;
}

/* --- random --- */

/* Source: SplitMix64, public domain (Vigna), from memory. */
double random_uniform(struct random *random, double low, double high)
{
    uint64_t z = random->state += 0x9E3779B97F4A7C15u;

    z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9u;
    z = (z ^ (z >> 27)) * 0x94D049BB133111EBu;
    z ^= z >> 31;
    return low + (high - low) * (double)(z >> 11) / 9007199254740992.0;
}

double random_normal(struct random *random)
{
    double u = random_uniform(random, 1e-12, 1);
    double v = random_uniform(random, 0, 1);

    return sqrt(-2 * log(u)) * cos(6.283185307179586 * v);
}
