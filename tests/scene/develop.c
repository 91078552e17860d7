#include "develop.h"

#include "basics.h"
#include "guided.h"
#include "look.h"
#include "noise.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { CURVE_STEPS = 4096 };

/* The tone curve over the square root of linear light, which it follows more evenly. */
struct curve {
    float at[CURVE_STEPS + 2];
};

/* Source: IEC 61966-2-1. */
static double srgb_encode(double linear)
{
    return linear <= 0.0031308 ? 12.92 * linear : 1.055 * pow(linear, 1.0 / 2.4) - 0.055;
}

static void make_curve(struct curve *curve, double tone)
{
    for (int i = 0; i <= CURVE_STEPS + 1; i++) {
        double encoded = srgb_encode(square(fmin(1.0, (double)i / CURVE_STEPS)));
        double bent = encoded * encoded * (3.0 - 2.0 * encoded);

        curve->at[i] = (float)(encoded + tone * (bent - encoded));
    }
}

static float curve_at(const struct curve *curve, float linear)
{
    float place = sqrtf(linear < 0.0f ? 0.0f : linear > 1.0f ? 1.0f : linear) * CURVE_STEPS;
    int low = (int)place;

    return curve->at[low] + (place - (float)low) * (curve->at[low + 1] - curve->at[low]);
}

static void multiply(double a[3][3], double b[3][3], float product[3][3])
{
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            product[i][j] = (float)(a[i][0] * b[0][j] + a[i][1] * b[1][j] + a[i][2] * b[2][j]);
}

/* From linear sRGB to the primaries of the file. */
static void file_matrix(int profile, double matrix[3][3])
{
    /* Source: SMPTE EG 432-1 primaries with the white of sRGB; from memory. */
    static const double p3_from_srgb[3][3] = {
        {0.8225, 0.1775, 0.0}, {0.0332, 0.9668, 0.0}, {0.0171, 0.0724, 0.9105}};
    int wide = profile == PROFILE_P3 || profile == PROFILE_P3_UNSAID;

    for (int i = 0; i < 9; i++)
        matrix[i / 3][i % 3] = wide ? p3_from_srgb[i / 3][i % 3] : i / 3 == i % 3 ? 1.0 : 0.0;
}

/* The camera's matrix, more saturated, into the colour space of the file; before a look, which
   brings its own saturation, into linear sRGB. */
static void output_matrix(const struct stage *stage, float matrix[3][3])
{
    static const double weight[3] = {0.2126, 0.7152, 0.0722};
    double camera[3][3], richer[3][3], half[3][3], file[3][3];
    float product[3][3];
    double more = stage->plan.look ? 1.0 : stage->plan.saturation;

    camera_matrix(stage->plan.camera, &stage->observer, camera);
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            richer[i][j] = (i == j ? more : 0.0) + (1.0 - more) * weight[j];
    multiply(richer, camera, product);
    for (int i = 0; i < 9; i++)
        half[i / 3][i % 3] = product[i / 3][i % 3];
    file_matrix(stage->plan.look ? PROFILE_SRGB : stage->plan.profile, file);
    multiply(file, half, matrix);
}

/* Photon noise grows with the root of the light; the read noise is a tenth of that at white. */
static void add_noise(struct raster *raw, double noise, uint32_t seed)
{
    struct normal_stream *stream = allocate(1, sizeof *stream);
    size_t count = raster_count(raw);
    float photon = (float)(noise * noise), read = (float)square(noise / 10.0);

    normal_start(stream, seed);
    for (int k = 0; k < 3; k++) {
        float channel_noise = k == 1 ? 1.0f : 1.5f; /* red and blue are amplified more */

        for (size_t i = 0; i < count; i++) {
            float value = raw->plane[k][i];

            raw->plane[k][i] = value + channel_noise * normal_next(stream) *
                                           sqrtf((value > 0.0f ? value : 0.0f) * photon + read);
        }
    }
    free(stream);
}

/* Clip as the sensor does, then the matrix: planes become linear red, green and blue. */
static void to_linear(struct raster *raw, float matrix[3][3])
{
    size_t count = raster_count(raw);

    for (size_t i = 0; i < count; i++) {
        float seen[3];

        for (int k = 0; k < 3; k++)
            seen[k] = raw->plane[k][i] > 1.0f ? 1.0f : raw->plane[k][i];
        for (int k = 0; k < 3; k++)
            raw->plane[k][i] =
                matrix[k][0] * seen[0] + matrix[k][1] * seen[1] + matrix[k][2] * seen[2];
    }
}

/* The logarithm of a pixel's luminance, black no darker than a thousandth. */
static float log_luminance(const struct raster *raw, size_t place)
{
    float light = 0.2126f * raw->plane[0][place] + 0.7152f * raw->plane[1][place] +
                  0.0722f * raw->plane[2][place];

    return logf(light > 1e-3f ? light : 1e-3f);
}

/* As phones do: dark surroundings are lifted, bright ones held down, edges between them kept. */
static void map_local_tone(struct raster *raw, const struct plan *plan)
{
    size_t count = raster_count(raw);
    float *light = allocate(count, sizeof *light), *around;
    int longer = raw->width_px > raw->height_px ? raw->width_px : raw->height_px;
    double mean = 0.0;

    for (size_t i = 0; i < count; i++)
        light[i] = log_luminance(raw, i);
    around = guided_smooth(light, raw->width_px, raw->height_px, (int)(plan->local_reach * longer),
                           plan->local_edge);
    for (size_t i = 0; i < count; i++)
        mean += around[i] / (double)count;
    for (size_t i = 0; i < count; i++) {
        float gain = expf(-(float)plan->local_tone * (around[i] - (float)mean));

        for (int k = 0; k < 3; k++)
            raw->plane[k][i] *= gain;
    }
    free(light);
    free(around);
}

/* The look, then the primaries of the file and what it can hold. */
static void give_look(struct raster *raw, const struct plan *plan)
{
    struct prepared_look *prepared = allocate(1, sizeof *prepared);
    struct look look = look_draw(plan->look);
    size_t count = raster_count(raw);
    double file[3][3];

    file_matrix(plan->profile, file);
    if (plan->look_part > 0.0)
        look_scale(&look, plan->look_part);
    look_prepare(prepared, &look);
    for (size_t i = 0; i < count; i++) {
        float bent[3] = {raw->plane[0][i], raw->plane[1][i], raw->plane[2][i]}, own[3];

        look_bend(prepared, bent);
        for (int k = 0; k < 3; k++)
            own[k] = (float)(file[k][0] * bent[0] + file[k][1] * bent[1] + file[k][2] * bent[2]);
        look_fit(prepared, own);
        for (int k = 0; k < 3; k++)
            raw->plane[k][i] = own[k];
    }
    free(prepared);
}

/* The file's curve: planes become luma and two colour differences. */
static void encode(struct raster *raw, const struct curve *curve)
{
    size_t count = raster_count(raw);

    for (size_t i = 0; i < count; i++) {
        float encoded[3], luma;

        for (int k = 0; k < 3; k++)
            encoded[k] = curve_at(curve, raw->plane[k][i]);
        luma = 0.299f * encoded[0] + 0.587f * encoded[1] + 0.114f * encoded[2];
        raw->plane[0][i] = luma;
        raw->plane[1][i] = encoded[2] - luma;
        raw->plane[2][i] = encoded[0] - luma;
    }
}

/* Noise reduction that keeps edges and smears what is fainter. */
static void smear_luma(struct raster *raster, double edge)
{
    enum { REACH_PX = 3 };
    float *smooth =
        guided_smooth(raster->plane[0], raster->width_px, raster->height_px, REACH_PX, edge);

    free(raster->plane[0]);
    raster->plane[0] = smooth;
}

static void sharpen_luma(struct raster *raster, double amount, double halo_px)
{
    size_t count = raster_count(raster);
    float *sharp = allocate(count, sizeof *sharp), part = (float)amount;

    memcpy(sharp, raster->plane[0], count * sizeof *sharp);
    raster_blur(raster, 0, halo_px > 0.0 ? halo_px : 1.1);
    for (size_t i = 0; i < count; i++)
        sharp[i] += part * (sharp[i] - raster->plane[0][i]);
    free(raster->plane[0]);
    raster->plane[0] = sharp;
}

static float unit(float value)
{
    return value < 0.0f ? 0.0f : value > 1.0f ? 1.0f : value;
}

static void join_colours(struct raster *raster)
{
    size_t count = raster_count(raster);

    for (size_t i = 0; i < count; i++) {
        float luma = raster->plane[0][i];
        float blue = luma + raster->plane[1][i], red = luma + raster->plane[2][i];

        raster->plane[0][i] = unit(red);
        raster->plane[1][i] = unit((luma - 0.299f * red - 0.114f * blue) / 0.587f);
        raster->plane[2][i] = unit(blue);
    }
}

void expose(const struct stage *stage, struct raster *raw)
{
    const struct plan *plan = &stage->plan;

    for (int k = 0; k < 3; k++) {
        raster_blur(raw, k, plan->blur_px);
        raster_move(raw, k, plan->motion_px, plan->motion_degrees);
        raster_defocus(raw, k, plan->defocus_px);
    }
    add_noise(raw, plan->noise, (uint32_t)plan->seed);
}

void develop(const struct stage *stage, struct raster *raw)
{
    const struct plan *plan = &stage->plan;
    struct curve *curve = allocate(1, sizeof *curve);
    float matrix[3][3];

    output_matrix(stage, matrix);
    make_curve(curve, plan->look ? 0.0 : plan->tone);
    to_linear(raw, matrix);
    if (plan->local_tone > 0.0)
        map_local_tone(raw, plan);
    if (plan->look)
        give_look(raw, plan);
    encode(raw, curve);
    raster_blur(raw, 0, plan->denoise_px);
    raster_blur(raw, 1, 1.6 * plan->denoise_px + 0.5);
    raster_blur(raw, 2, 1.6 * plan->denoise_px + 0.5);
    if (plan->smear > 0.0)
        smear_luma(raw, plan->smear);
    if (plan->sharpening > 0.0)
        sharpen_luma(raw, plan->sharpening, plan->halo_px);
    join_colours(raw);
    free(curve);
}
