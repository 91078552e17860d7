#include "camera.h"

#include "basics.h"
#include "card_colours.h"
#include "inks.h"

#include <math.h>

#include <gsl/gsl_multifit.h>

/* A lopsided peak and a smaller lobe in a neighbour's range. */
struct channel {
    double peak_nm, short_nm, long_nm;
    double lobe, lobe_nm, lobe_width_nm;
};

static const struct {
    const char *name;
    double cut_on_nm, cut_off_nm, cut_off_width_nm;
    struct channel channel[3];
} cameras[] = {
    {"Hedgerow 1",
     410,
     668,
     9,
     {{600, 24, 46, 0.10, 530, 26}, {531, 38, 42, 0.06, 465, 20}, {458, 28, 33, 0.05, 540, 30}}},
    {"Hedgerow 2",
     404,
     652,
     7,
     {{593, 30, 52, 0.06, 455, 24}, {538, 44, 40, 0.10, 610, 30}, {463, 30, 30, 0.08, 530, 34}}},
    {"Orchard A",
     416,
     682,
     12,
     {{610, 26, 40, 0.16, 540, 30}, {525, 34, 46, 0.12, 470, 28}, {450, 24, 36, 0.04, 600, 40}}},
    {"Orchard B",
     398,
     660,
     6,
     {{603, 20, 60, 0.05, 440, 20}, {542, 40, 36, 0.04, 650, 30}, {468, 34, 28, 0.12, 525, 24}}},
    {"Paddock",
     408,
     692,
     14,
     {{588, 34, 54, 0.12, 470, 30}, {534, 46, 48, 0.14, 620, 36}, {456, 32, 38, 0.10, 535, 30}}},
    {"Paddock Mini",
     420,
     644,
     8,
     {{607, 28, 44, 0.20, 535, 34}, {528, 36, 38, 0.08, 455, 24}, {461, 26, 30, 0.07, 550, 40}}},
    {"Ferryman",
     401,
     676,
     10,
     {{598, 22, 50, 0.08, 545, 22}, {536, 42, 44, 0.07, 480, 22}, {453, 30, 40, 0.06, 520, 26}}},
    {"Weathercock",
     412,
     658,
     5,
     {{607, 30, 42, 0.14, 520, 40}, {540, 38, 50, 0.09, 600, 28}, {465, 33, 32, 0.09, 545, 28}}},
};

int cameras_count(void)
{
    return (int)(sizeof cameras / sizeof *cameras);
}

const char *camera_name(int camera)
{
    return cameras[camera].name;
}

struct spectrum camera_sensitivity(int camera, int channel)
{
    const struct channel *shape = &cameras[camera].channel[channel];
    struct spectrum sensitivity;

    for (int i = 0; i < BANDS; i++) {
        double nm = spectrum_nm(i);
        double width_nm = nm < shape->peak_nm ? shape->short_nm : shape->long_nm;
        double window =
            falling_edge(nm - cameras[camera].cut_off_nm, cameras[camera].cut_off_width_nm) *
            falling_edge(cameras[camera].cut_on_nm - nm, 6.0);

        sensitivity.at[i] =
            window *
            (exp(-0.5 * square((nm - shape->peak_nm) / width_nm)) +
             shape->lobe * exp(-0.5 * square((nm - shape->lobe_nm) / shape->lobe_width_nm)));
    }
    return sensitivity;
}

static double sum_of(const struct spectrum *spectrum)
{
    double sum = 0.0;

    for (int i = 0; i < BANDS; i++)
        sum += spectrum->at[i];
    return sum;
}

static void scale(struct spectrum *spectrum, double factor)
{
    for (int i = 0; i < BANDS; i++)
        spectrum->at[i] *= factor;
}

struct receptor receptor_balance(int camera, const struct spectrum light[LIGHTS], double share,
                                 const double gain[3])
{
    struct spectrum green = camera_sensitivity(camera, 1);
    struct receptor receptor;

    for (int channel = 0; channel < 3; channel++) {
        struct spectrum seen = camera_sensitivity(camera, channel);
        double white[LIGHTS], together;

        for (int i = 0; i < LIGHTS; i++) {
            struct spectrum reference = spectrum_product(&green, &light[i]);

            receptor.weight[i][channel] = spectrum_product(&seen, &light[i]);
            scale(&receptor.weight[i][channel], 1.0 / sum_of(&reference));
            white[i] = sum_of(&receptor.weight[i][channel]);
        }
        together = (1.0 - share) * white[0] + share * white[1];
        for (int i = 0; i < LIGHTS; i++)
            scale(&receptor.weight[i][channel], gain[channel] / together);
    }
    return receptor;
}

struct response receptor_see(const struct receptor *receptor, const struct spectrum *reflectance)
{
    struct response response;

    for (int i = 0; i < LIGHTS; i++)
        for (int channel = 0; channel < 3; channel++)
            response.rgb[i][channel] =
                (float)spectrum_dot(&receptor->weight[i][channel], reflectance);
    return response;
}

/* Source: IEC 61966-2-1, inverse of the primaries' matrix. */
static void srgb_from_xyz(const double xyz[3], double rgb_linear[3])
{
    static const double matrix[3][3] = {
        {3.2406, -1.5372, -0.4986}, {-0.9689, 1.8758, 0.0415}, {0.0557, -0.2040, 1.0570}};

    for (int i = 0; i < 3; i++)
        rgb_linear[i] = matrix[i][0] * xyz[0] + matrix[i][1] * xyz[1] + matrix[i][2] * xyz[2];
}

static struct spectrum training_reflectance(const struct observer *observer, int i)
{
    struct spectrum paper = paper_reflectance(PAPER_WHITE);

    return i < PATCHES ? patch_reflectance(observer, EDITION_2014, i)
                       : ink_reflectance(i - PATCHES, &paper, 1.0);
}

/* What a camera sees of a reflectance in D65 and what it ought to answer. */
static void training_pair(const struct observer *observer, const struct receptor *receptor,
                          const struct spectrum *d65, int sample, double seen[3], double wanted[3])
{
    struct spectrum reflectance = training_reflectance(observer, sample);
    struct response response = receptor_see(receptor, &reflectance);
    struct spectrum glow = spectrum_product(&reflectance, d65);
    double luminance = spectrum_dot(&observer->matching[1], d65);
    double xyz[3];

    for (int i = 0; i < 3; i++) {
        xyz[i] = spectrum_dot(&observer->matching[i], &glow) / luminance;
        seen[i] = response.rgb[0][i];
    }
    srgb_from_xyz(xyz, wanted);
}

void camera_matrix(int camera, const struct observer *observer, double matrix[3][3])
{
    const double gain[3] = {1.0, 1.0, 1.0};
    const struct spectrum d65 = illuminant_load("D65");
    const struct spectrum lights[LIGHTS] = {d65, d65};
    struct receptor receptor = receptor_balance(camera, lights, 0.0, gain);
    size_t count = (size_t)(PATCHES + inks_full_count());
    gsl_matrix *seen_matrix = gsl_matrix_alloc(count, 2), *covariance = gsl_matrix_alloc(2, 2);
    gsl_vector *wanted_vector[3], *row = gsl_vector_alloc(2);
    gsl_multifit_linear_workspace *work = gsl_multifit_linear_alloc(count, 2);
    double misfit;

    for (int k = 0; k < 3; k++)
        wanted_vector[k] = gsl_vector_alloc(count);
    for (size_t i = 0; i < count; i++) {
        double seen[3], wanted[3];

        training_pair(observer, &receptor, lights, (int)i, seen, wanted);
        gsl_matrix_set(seen_matrix, i, 0, seen[0] - seen[1]);
        gsl_matrix_set(seen_matrix, i, 1, seen[2] - seen[1]);
        for (int k = 0; k < 3; k++)
            gsl_vector_set(wanted_vector[k], i, wanted[k] - seen[1]);
    }
    for (int k = 0; k < 3; k++) { /* each row sums to 1, so white stays white */
        gsl_multifit_linear(seen_matrix, wanted_vector[k], row, covariance, &misfit, work);
        matrix[k][0] = gsl_vector_get(row, 0);
        matrix[k][2] = gsl_vector_get(row, 1);
        matrix[k][1] = 1.0 - matrix[k][0] - matrix[k][2];
        gsl_vector_free(wanted_vector[k]);
    }
    gsl_multifit_linear_free(work);
    gsl_matrix_free(seen_matrix);
    gsl_matrix_free(covariance);
    gsl_vector_free(row);
}

double camera_unlike_observer(int camera, const struct observer *observer)
{
    gsl_matrix *basis = gsl_matrix_alloc(BANDS, 3), *covariance = gsl_matrix_alloc(3, 3);
    gsl_vector *seen = gsl_vector_alloc(BANDS), *weight = gsl_vector_alloc(3);
    gsl_multifit_linear_workspace *work = gsl_multifit_linear_alloc(BANDS, 3);
    double left = 0.0, whole = 0.0;

    for (int channel = 0; channel < 3; channel++) {
        struct spectrum sensitivity = camera_sensitivity(camera, channel);
        double misfit;

        for (size_t i = 0; i < BANDS; i++) {
            gsl_vector_set(seen, i, sensitivity.at[i]);
            for (size_t k = 0; k < 3; k++)
                gsl_matrix_set(basis, i, k, observer->matching[k].at[i]);
        }
        gsl_multifit_linear(basis, seen, weight, covariance, &misfit, work);
        left += misfit;
        whole += spectrum_dot(&sensitivity, &sensitivity);
    }
    gsl_multifit_linear_free(work);
    gsl_matrix_free(basis);
    gsl_matrix_free(covariance);
    gsl_vector_free(seen);
    gsl_vector_free(weight);
    return sqrt(left / whole);
}
