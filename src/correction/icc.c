#include "correction/icc.h"

#include "base/memory.h"

#include <lcms2.h>

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define CHANNELS 3

/* The table's side: fine enough that reading between its points costs less than 0.05 delta E
 * 2000 (tests/unit/test_icc.c). */
#define GRID 33
#define POINTS (GRID * GRID * GRID)

/* The table reaches this far above the perfect white; paper with brightener can pass it. */
#define HEADROOM 1.25
#define CURVE_POINTS 4096

struct icc_pipeline {
    double top[CHANNELS]; /* scene-linear values at the table's end */
    cmsPipeline *stages;  /* scene-linear to Lab / 100 */
    float *table;         /* POINTS x Lab */
};

/* --- building --- */

static enum status out_of_memory(struct error *error)
{
    return error_set(error, STATUS_MEMORY,
                     "out of memory: lcms2 has no room for the colour table; close other programs");
}

/* Place of a scene-linear value in the table, 0 to 1: cube roots, where Lab is nearly straight. */
static double place_of(const struct icc_pipeline *pipeline, int channel, double scene_linear)
{
    return cbrt(fmin(fmax(scene_linear / pipeline->top[channel], 0), 1));
}

static double value_at(const struct icc_pipeline *pipeline, int channel, int step)
{
    double root = step / (GRID - 1.0);

    return root * root * root * pipeline->top[channel];
}

static void fill_table(const struct colour_model *model, struct icc_pipeline *pipeline)
{
    float *next = pipeline->table;

    for (int i = 0; i < POINTS; i++) {
        struct rgb rgb = {{value_at(pipeline, 0, i / (GRID * GRID)),
                           value_at(pipeline, 1, i / GRID % GRID),
                           value_at(pipeline, 2, i % GRID)}};
        struct lab lab = colour_model_lab(model, rgb);

        *next++ = (float)(lab.L / 100);
        *next++ = (float)(lab.a / 100);
        *next++ = (float)(lab.b / 100);
    }
}

static bool add_stage(cmsPipeline *stages, cmsStage *stage)
{
    if (stage && cmsPipelineInsertStage(stages, cmsAT_END, stage))
        return true;
    cmsStageFree(stage);
    return false;
}

static cmsStage *cube_root_stage(void)
{
    const double exponent = 1 / 3.0;
    cmsToneCurve *curve = cmsBuildParametricToneCurve(NULL, 1, &exponent);
    cmsToneCurve *const curves[CHANNELS] = {curve, curve, curve};
    cmsStage *stage = curve ? cmsStageAllocToneCurves(NULL, CHANNELS, curves) : NULL;

    cmsFreeToneCurve(curve);
    return stage;
}

static bool build_stages(struct icc_pipeline *pipeline)
{
    const double *top = pipeline->top;
    const double matrix[9] = {1 / top[0], 0, 0, 0, 1 / top[1], 0, 0, 0, 1 / top[2]};

    pipeline->stages = cmsPipelineAlloc(NULL, CHANNELS, CHANNELS);
    return pipeline->stages &&
           add_stage(pipeline->stages,
                     cmsStageAllocMatrix(NULL, CHANNELS, CHANNELS, matrix, NULL)) &&
           add_stage(pipeline->stages, cube_root_stage()) &&
           add_stage(pipeline->stages,
                     cmsStageAllocCLutFloat(NULL, GRID, CHANNELS, CHANNELS, pipeline->table));
}

enum status icc_pipeline_create(const struct colour_model *model, struct icc_pipeline **pipeline,
                                struct error *error)
{
    struct icc_pipeline *made = memory_array(1, sizeof *made, "the colour pipeline", error);

    *pipeline = NULL;
    if (!made)
        return error->status;
    made->table = memory_array(POINTS * CHANNELS, sizeof *made->table, "the colour table", error);
    if (!made->table) {
        icc_pipeline_release(made);
        return error->status;
    }
    for (int k = 0; k < CHANNELS; k++)
        made->top[k] = model->scale[k] * HEADROOM;
    fill_table(model, made);
    if (!build_stages(made)) {
        icc_pipeline_release(made);
        return out_of_memory(error);
    }
    *pipeline = made;
    return STATUS_OK;
}

void icc_pipeline_release(struct icc_pipeline *pipeline)
{
    if (!pipeline)
        return;
    cmsPipelineFree(pipeline->stages);
    free(pipeline->table);
    free(pipeline);
}

void icc_pipeline_lab(const struct icc_pipeline *pipeline, const struct rgb *scene_linear,
                      int count, struct lab *lab)
{
    for (int i = 0; i < count; i++) {
        float in[CHANNELS], out[CHANNELS];

        for (int k = 0; k < CHANNELS; k++)
            in[k] = (float)fmax(scene_linear[i].channel[k], 0);
        cmsPipelineEvalFloat(in, out, pipeline->stages);
        lab[i] = (struct lab){100.0 * out[0], 100.0 * out[1], 100.0 * out[2]};
    }
}

/* --- as a profile --- */

static cmsUInt16Number clamp_16(double value)
{
    return (cmsUInt16Number)lround(fmin(fmax(value, 0), 65535));
}

/* Lab as 16 bits. Source: ICC.1:2010, 6.3.4.2 (PCSLAB, 16-bit). */
static void encode_lab(const float *hundredths, cmsUInt16Number *encoded)
{
    encoded[0] = clamp_16(hundredths[0] * 65535.0);
    encoded[1] = clamp_16((100.0 * hundredths[1] + 128) * 257);
    encoded[2] = clamp_16((100.0 * hundredths[2] + 128) * 257);
}

static cmsStage *encoded_table(const struct icc_pipeline *pipeline)
{
    cmsUInt16Number *encoded = calloc(POINTS * CHANNELS, sizeof *encoded);
    cmsStage *stage = NULL;

    for (int i = 0; encoded && i < POINTS; i++)
        encode_lab(pipeline->table + CHANNELS * i, encoded + CHANNELS * i);
    if (encoded)
        stage = cmsStageAllocCLut16bit(NULL, GRID, CHANNELS, CHANNELS, encoded);
    free(encoded);
    return stage;
}

/* From an encoded sample to its place in the table. */
static cmsToneCurve *sample_curve(const struct icc_pipeline *pipeline, const struct tone *tone,
                                  const struct photo *photo, int channel)
{
    cmsUInt16Number *places = calloc(CURVE_POINTS, sizeof *places);
    cmsToneCurve *curve = NULL;

    for (int i = 0; places && i < CURVE_POINTS; i++) {
        uint16_t sample = clamp_16(i * 65535.0 / (CURVE_POINTS - 1));
        double scene = tone_undo(tone, channel, photo_linear(photo, channel, sample));

        places[i] = clamp_16(65535 * place_of(pipeline, channel, scene));
    }
    if (places)
        curve = cmsBuildTabulatedToneCurve16(NULL, CURVE_POINTS, places);
    free(places);
    return curve;
}

static cmsStage *sample_stage(const struct icc_pipeline *pipeline, const struct tone *tone,
                              const struct photo *photo)
{
    cmsToneCurve *curves[CHANNELS] = {NULL, NULL, NULL};
    cmsStage *stage = NULL;

    for (int k = 0; k < CHANNELS; k++)
        curves[k] = sample_curve(pipeline, tone, photo, k);
    if (curves[0] && curves[1] && curves[2])
        stage = cmsStageAllocToneCurves(NULL, CHANNELS, curves);
    for (int k = 0; k < CHANNELS; k++)
        if (curves[k])
            cmsFreeToneCurve(curves[k]);
    return stage;
}

static bool write_text(cmsHPROFILE profile, cmsTagSignature tag, const char *text)
{
    cmsMLU *translated = cmsMLUalloc(NULL, 1);
    bool written = translated && cmsMLUsetASCII(translated, "en", "US", text) &&
                   cmsWriteTag(profile, tag, translated);

    cmsMLUfree(translated);
    return written;
}

static bool write_table(cmsHPROFILE profile, const struct icc_pipeline *pipeline, cmsStage *curves)
{
    cmsPipeline *stages = cmsPipelineAlloc(NULL, CHANNELS, CHANNELS);
    bool written = stages && curves && add_stage(stages, curves) &&
                   add_stage(stages, encoded_table(pipeline)) &&
                   add_stage(stages, cmsStageAllocToneCurves(NULL, CHANNELS, NULL)) &&
                   cmsWriteTag(profile, cmsSigAToB0Tag, stages);

    if (stages)
        cmsPipelineFree(stages);
    return written;
}

/* An input profile from device samples, by way of `curves` (taken over), to Lab. */
static cmsHPROFILE make_profile(const struct icc_pipeline *pipeline, cmsStage *curves,
                                const char *description)
{
    cmsHPROFILE profile = cmsCreateProfilePlaceholder(NULL);

    if (!profile)
        return NULL;
    cmsSetProfileVersion(profile, 4.3);
    cmsSetDeviceClass(profile, cmsSigInputClass);
    cmsSetColorSpace(profile, cmsSigRgbData);
    cmsSetPCS(profile, cmsSigLabData);
    cmsSetHeaderRenderingIntent(profile, INTENT_RELATIVE_COLORIMETRIC);
    if (write_text(profile, cmsSigProfileDescriptionTag, description) &&
        write_text(profile, cmsSigCopyrightTag, "No copyright: use it freely") &&
        cmsWriteTag(profile, cmsSigMediaWhitePointTag, cmsD50_XYZ()) &&
        write_table(profile, pipeline, curves))
        return profile;
    cmsCloseProfile(profile);
    return NULL;
}

static const char *name_of(const char *path)
{
    const char *slash = strrchr(path, '/');

    return slash ? slash + 1 : path;
}

enum status icc_write_profile(const struct icc_pipeline *pipeline, const struct tone *tone,
                              const struct photo *photo, const char *path, struct error *error)
{
    char description[200];
    cmsHPROFILE profile;
    bool saved;

    snprintf(description, sizeof description, "woad: camera and light of %.150s",
             name_of(photo->path));
    profile = make_profile(pipeline, sample_stage(pipeline, tone, photo), description);
    if (!profile)
        return out_of_memory(error);
    saved = cmsSaveProfileToFile(profile, path);
    cmsCloseProfile(profile);
    if (saved)
        return STATUS_OK;
    remove(path);
    return error_set(error, STATUS_FILE,
                     "can't write the profile '%s': choose a folder that exists and is writable",
                     path);
}

/* --- on a whole photo --- */

/* The light is worked out this many pixels apart and taken straight between. */
#define LIGHT_STEP_PX 32

/* Places in the table of all encoded samples, in equal light. */
static float *place_table(const struct icc_pipeline *pipeline, const struct tone *tone,
                          const struct photo *photo, struct error *error)
{
    size_t size = IMAGE_SAMPLE_MAX + 1;
    float *places = memory_array(CHANNELS * size, sizeof *places, "the sample table", error);

    for (int k = 0; places && k < CHANNELS; k++)
        for (size_t i = 0; i < size; i++) {
            double scene = tone_undo(tone, k, photo_linear(photo, k, (uint16_t)i));

            /* not place_of: dim places may pass the end until the light is divided out */
            places[(size_t)k * size + i] = (float)cbrt(fmax(scene, 0) / pipeline->top[k]);
        }
    return places;
}

/* What the light at a place does to a cube root, undone. */
static struct rgb light_factor(const struct light_field *light, int x, int y)
{
    struct rgb factor = light_at(light, (struct point){x + 0.5, y + 0.5});

    for (int k = 0; k < CHANNELS; k++)
        factor.channel[k] = 65535 / cbrt(factor.channel[k]);
    return factor;
}

static void place_row(const float *places, const struct light_field *light,
                      const struct image *image, int y)
{
    struct rgb left = light_factor(light, 0, y), right = left;
    uint16_t *sample = image_at(image, 0, y);

    for (int x = 0; x < image->width_px; x++) {
        double part = (x % LIGHT_STEP_PX) / (double)LIGHT_STEP_PX;

        if (x % LIGHT_STEP_PX == 0) {
            left = right;
            right = light_factor(light, x + LIGHT_STEP_PX, y);
        }
        for (int k = 0; k < CHANNELS; k++, sample++) {
            double factor = left.channel[k] + part * (right.channel[k] - left.channel[k]);

            *sample = clamp_16(factor * places[((size_t)k << 16) + *sample]);
        }
    }
}

static cmsHTRANSFORM to_srgb(const struct icc_pipeline *pipeline)
{
    cmsStage *straight = cmsStageAllocToneCurves(NULL, CHANNELS, NULL);
    cmsHPROFILE from = make_profile(pipeline, straight, "places in the table");
    cmsHPROFILE srgb = cmsCreate_sRGBProfile();
    cmsHTRANSFORM transform = NULL;

    if (from && srgb)
        transform =
            cmsCreateTransform(from, TYPE_RGB_16, srgb, TYPE_RGB_16, INTENT_RELATIVE_COLORIMETRIC,
                               cmsFLAGS_NOCACHE | cmsFLAGS_HIGHRESPRECALC);
    if (from)
        cmsCloseProfile(from);
    if (srgb)
        cmsCloseProfile(srgb);
    return transform;
}

enum status icc_apply(const struct icc_pipeline *pipeline, const struct tone *tone,
                      const struct light_field *light, struct photo *photo, struct error *error)
{
    float *places = place_table(pipeline, tone, photo, error);
    cmsHTRANSFORM transform = places ? to_srgb(pipeline) : NULL;
    enum status status = STATUS_OK;

    if (!places)
        return error->status;
    if (!transform)
        status = out_of_memory(error);
    for (int y = 0; !status && y < photo->image.height_px; y++) {
        uint16_t *row = image_at(&photo->image, 0, y);

        place_row(places, light, &photo->image, y);
        cmsDoTransform(transform, row, row, (cmsUInt32Number)photo->image.width_px);
    }
    if (transform)
        cmsDeleteTransform(transform);
    free(places);
    return status;
}
