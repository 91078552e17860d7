#include "icc.h"

#include "base/memory.h"
#include "places.h"
#include "files/mark.h"
#include "files/whole_file.h"

#include <lcms2.h>

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define CHANNELS 3

/* The table's side in the profile: reading between its points costs at most about 0.1 delta E
 * 2000 (tests/unit/test_icc.c). */
#define GRID 33

/* The table reaches this far above the perfect white; paper with brightener can pass it. */
#define HEADROOM 1.25
#define CURVE_POINTS 4096

struct icc_pipeline {
    double top[CHANNELS];      /* scene-linear values at the table's end */
    cmsPipeline *stages;       /* scene-linear to Lab / 100, straight */
    struct colour_model model; /* bends it */
};

static enum status out_of_memory(struct error *error)
{
    return error_set(error, STATUS_MEMORY,
                     "out of memory: lcms2 has no room for the colour pipeline; close other "
                     "programs");
}

/* --- building --- */

static void free_stage(cmsStage *stage)
{
    if (stage)
        cmsStageFree(stage);
}

/* Takes the stage over, also where it can't be added. */
static bool add_stage(cmsPipeline *stages, cmsStage *stage)
{
    if (stages && stage && cmsPipelineInsertStage(stages, cmsAT_END, stage))
        return true;
    free_stage(stage);
    return false;
}

/* The same curve on all channels; `type` and `parameters` as lcms2 numbers them. */
static bool add_curves(cmsPipeline *stages, int type, const double *parameters)
{
    cmsToneCurve *curve = cmsBuildParametricToneCurve(NULL, type, parameters);
    cmsToneCurve *curves[CHANNELS] = {curve, curve, curve};
    bool added = curve && add_stage(stages, cmsStageAllocToneCurves(NULL, CHANNELS, curves));

    if (curve)
        cmsFreeToneCurve(curve);
    return added;
}

static bool add_matrix(cmsPipeline *stages, int rows, int columns, const double *matrix,
                       const double *offset)
{
    return add_stage(stages, cmsStageAllocMatrix(NULL, (cmsUInt32Number)rows,
                                                 (cmsUInt32Number)columns, matrix, offset));
}

/* Camera values to XYZ over white. */
static bool add_xyz(cmsPipeline *stages, const struct colour_model *model)
{
    double matrix[9];

    for (int i = 0; i < 9; i++)
        matrix[i] = model->matrix[i] / model->scale[i % 3];
    return add_matrix(stages, CHANNELS, CHANNELS, matrix, NULL);
}

/* From XYZ over white to Lab / 100. Source: CIE 015:2018. */
static bool add_lab(cmsPipeline *stages)
{
    static const double root[] = {1 / 3.0, 1, 0, 24389.0 / 27 / 116, 216.0 / 24389, 0, 16.0 / 116};
    static const double matrix[9] = {0, 1.16, 0, 5, -5, 0, 0, 2, -2};
    static const double offset[3] = {-0.16, 0, 0};

    return add_curves(stages, 5, root) && add_matrix(stages, CHANNELS, CHANNELS, matrix, offset);
}

static bool build_stages(const struct colour_model *model, cmsPipeline *stages)
{
    return stages && add_xyz(stages, model) && add_lab(stages);
}

enum status icc_pipeline_create(const struct colour_model *model, struct icc_pipeline **pipeline,
                                struct error *error)
{
    struct icc_pipeline *made = memory_array(1, sizeof *made, "the colour pipeline", error);

    *pipeline = NULL;
    if (!made)
        return error->status;
    made->model = *model;
    for (int k = 0; k < CHANNELS; k++)
        made->top[k] = model->scale[k] * HEADROOM;
    made->stages = cmsPipelineAlloc(NULL, CHANNELS, CHANNELS);
    if (!build_stages(model, made->stages)) {
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
    if (pipeline->stages)
        cmsPipelineFree(pipeline->stages);
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
        lab[i] = colour_model_bend(&pipeline->model,
                                   (struct lab){100.0 * out[0], 100.0 * out[1], 100.0 * out[2]});
    }
}

/* --- as a profile --- */

static cmsUInt16Number clamp_16(double value)
{
    return (cmsUInt16Number)lround(fmin(fmax(value, 0), 65535));
}

/* One point of the table: from places, which are cube roots, to Lab as 16 bits.
 * Source: ICC.1:2010, 6.3.4.2 (PCSLAB, 16-bit). */
static cmsInt32Number sample_point(const cmsUInt16Number places[], cmsUInt16Number encoded[],
                                   void *context)
{
    const struct icc_pipeline *pipeline = context;
    struct rgb rgb;
    struct lab lab;

    for (int k = 0; k < CHANNELS; k++) {
        double place = places[k] / 65535.0;

        rgb.channel[k] = place * place * place * pipeline->top[k];
    }
    icc_pipeline_lab(pipeline, &rgb, 1, &lab);
    encoded[0] = clamp_16(lab.L * 655.35);
    encoded[1] = clamp_16((lab.a + 128) * 257);
    encoded[2] = clamp_16((lab.b + 128) * 257);
    return TRUE;
}

static cmsStage *table_stage(const struct icc_pipeline *pipeline)
{
    struct icc_pipeline context = *pipeline;
    cmsStage *stage = cmsStageAllocCLut16bit(NULL, GRID, CHANNELS, CHANNELS, NULL);

    if (stage && cmsStageSampleCLut16bit(stage, sample_point, &context, 0))
        return stage;
    free_stage(stage);
    return NULL;
}

/* Place of a scene-linear value in the table, 0 to 1: cube roots, where Lab is nearly straight. */
static double place_of(const struct icc_pipeline *pipeline, int channel, double scene_linear)
{
    return cbrt(fmin(fmax(scene_linear / pipeline->top[channel], 0), 1));
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
    bool written = add_stage(stages, curves) && add_stage(stages, table_stage(pipeline)) &&
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

    if (!profile) {
        free_stage(curves);
        return NULL;
    }
    cmsSetProfileVersion(profile, 4.3);
    cmsSetDeviceClass(profile, cmsSigInputClass);
    cmsSetColorSpace(profile, cmsSigRgbData);
    cmsSetPCS(profile, cmsSigLabData);
    cmsSetHeaderRenderingIntent(profile, INTENT_RELATIVE_COLORIMETRIC);
    if (write_table(profile, pipeline, curves) &&
        write_text(profile, cmsSigProfileDescriptionTag, description) &&
        write_text(profile, cmsSigCopyrightTag, "No copyright: use it freely") &&
        cmsWriteTag(profile, cmsSigMediaWhitePointTag, cmsD50_XYZ()))
        return profile;
    cmsCloseProfile(profile);
    return NULL;
}

static const char *name_of(const char *path)
{
    const char *slash = strrchr(path, '/');

    return slash ? slash + 1 : path;
}

/* A profile's bytes; the caller frees them. */
static unsigned char *bytes_of(cmsHPROFILE profile, cmsUInt32Number *size)
{
    unsigned char *bytes = NULL;

    if (cmsSaveProfileToMem(profile, NULL, size))
        bytes = malloc(*size);
    if (bytes && !cmsSaveProfileToMem(profile, bytes, size)) {
        free(bytes);
        bytes = NULL;
    }
    if (bytes)
        memcpy(bytes + MARK_ICC_CREATOR_AT, MARK_ICC_CREATOR, strlen(MARK_ICC_CREATOR));
    return bytes;
}

static enum status write_whole(const char *path, const unsigned char *bytes, size_t size,
                               struct error *error)
{
    struct whole_file file;
    enum status status = whole_file_begin(path, &whole_file_icc, &file, error);

    if (status)
        return status;
    fwrite(bytes, 1, size, file.stream); /* whole_file_end looks whether it succeeded */
    return whole_file_end(&file, status, error);
}

enum status icc_write_profile(const struct icc_pipeline *pipeline, const struct tone *tone,
                              const struct photo *photo, const char *path, struct error *error)
{
    char description[200];
    cmsHPROFILE profile;
    cmsUInt32Number size = 0;
    unsigned char *bytes;
    enum status status;

    snprintf(description, sizeof description, "woad: camera and light of %.150s",
             name_of(photo->path));
    profile = make_profile(pipeline, sample_stage(pipeline, tone, photo), description);
    if (!profile)
        return out_of_memory(error);
    bytes = bytes_of(profile, &size);
    cmsCloseProfile(profile);
    if (!bytes)
        return out_of_memory(error);
    status = write_whole(path, bytes, size, error);
    free(bytes);
    return status;
}

/* --- on a whole photo --- */

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
    float *places = places_of_samples(tone, photo, pipeline->top, error);
    cmsHTRANSFORM transform = places ? to_srgb(pipeline) : NULL;
    enum status status = STATUS_OK;

    if (!places)
        return error->status;
    if (!transform)
        status = out_of_memory(error);
    for (int y = 0; !status && y < photo->image.height_px; y++) {
        uint16_t *row = image_at(&photo->image, 0, y);

        places_fill_row(places, light, &photo->image, y);
        cmsDoTransform(transform, row, row, (cmsUInt32Number)photo->image.width_px);
    }
    if (transform)
        cmsDeleteTransform(transform);
    free(places);
    return status;
}
