#include "profile.h"

#include "base/memory.h"
#include "files/photo_limits.h"

#include <lcms2.h>

#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define ICC_HEADER_BYTES 128

/* Curves of high dynamic range. Source: ITU-T H.273, TransferCharacteristics. */
#define TRANSFER_PQ 16
#define TRANSFER_HLG 18

static const cmsTagSignature curve_tags[3] = {cmsSigRedTRCTag, cmsSigGreenTRCTag, cmsSigBlueTRCTag};
static const cmsTagSignature table_tags[] = {cmsSigAToB0Tag, cmsSigAToB1Tag, cmsSigAToB2Tag,
                                             cmsSigDToB0Tag, cmsSigDToB1Tag, cmsSigDToB2Tag};

static enum status damaged(const char *path, const char *seen, struct error *error)
{
    return error_set(error, STATUS_FORMAT,
                     "%s: its colour profile %s; an RGB profile is wanted: export the photo again "
                     "as sRGB",
                     path, seen);
}

static enum status allocate_table(struct profile *profile, struct error *error)
{
    profile->linear_from_sample =
        memory_array((size_t)3 * PROFILE_SAMPLES, sizeof(float), "a photo's tone curves", error);
    return profile->linear_from_sample ? STATUS_OK : error->status;
}

/* lcms2 reads the three curves apart even where the file holds one for all. */
static bool same_curve(const cmsToneCurve *a, const cmsToneCurve *b)
{
    cmsUInt32Number entries = cmsGetToneCurveEstimatedTableEntries(a);
    cmsInt32Number type = cmsGetToneCurveParametricType(a);

    if (type != cmsGetToneCurveParametricType(b) ||
        entries != cmsGetToneCurveEstimatedTableEntries(b))
        return false;
    if (memcmp(cmsGetToneCurveEstimatedTable(a), cmsGetToneCurveEstimatedTable(b),
               entries * sizeof(cmsUInt16Number)) != 0)
        return false;
    for (int i = 0; type != 0 && i <= 1024; i++)
        if (fabsf(cmsEvalToneCurveFloat(a, (float)i / 1024) -
                  cmsEvalToneCurveFloat(b, (float)i / 1024)) > 0)
            return false;
    return true;
}

/* Returns whether the curve is one that light can be read from: finite and rising overall. */
static bool tabulate(const cmsToneCurve *curve, float *linear)
{
    for (int i = 0; i < PROFILE_SAMPLES; i++) {
        float value = cmsEvalToneCurveFloat(curve, (float)i / (PROFILE_SAMPLES - 1));

        if (!isfinite(value))
            return false;
        linear[i] = fminf(fmaxf(value, 0.0F), 1.0F);
    }
    return linear[PROFILE_SAMPLES - 1] > linear[0];
}

static bool tabulate_all(cmsToneCurve *const curve[3], float *linear)
{
    for (int k = 0; k < 3; k++) {
        float *to = linear + (size_t)k * PROFILE_SAMPLES;

        if (!curve[k])
            return false;
        if (k > 0 && same_curve(curve[k], curve[k - 1]))
            memcpy(to, to - PROFILE_SAMPLES, PROFILE_SAMPLES * sizeof *to);
        else if (!tabulate(curve[k], to))
            return false;
    }
    return true;
}

static bool tabulate_profile(cmsHPROFILE handle, float *linear)
{
    cmsToneCurve *curve[3];

    for (int k = 0; k < 3; k++)
        curve[k] = cmsReadTag(handle, curve_tags[k]);
    return tabulate_all(curve, linear);
}

/* One curve a channel and nothing else: the samples can stay as they are. */
static bool is_matrix(cmsHPROFILE handle)
{
    for (size_t i = 0; i < sizeof table_tags / sizeof *table_tags; i++)
        if (cmsIsTag(handle, table_tags[i]))
            return false;
    return cmsIsMatrixShaper(handle);
}

/* The name is text from a file of unknown hands: nothing but plain characters goes on. */
static void read_name(cmsHPROFILE handle, char *name, size_t size)
{
    cmsUInt32Number length =
        cmsGetProfileInfoASCII(handle, cmsInfoDescription, "en", "US", name, (cmsUInt32Number)size);

    if (!length || !name[0])
        snprintf(name, size, "a profile without a name");
    name[size - 1] = '\0';
    for (char *at = name; *at; at++)
        if (*at < ' ' || *at > '~')
            *at = '?';
}

/* Linear light is (a x + b)^exponent from x = d on, c x below: exponent, a, b, c, d. */
static const cmsFloat64Number srgb_curve[5] = {2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92,
                                               0.04045}; /* Source: IEC 61966-2-1. */
static const cmsFloat64Number bt709_curve[5] = {1 / 0.45, 1 / 1.099, 0.099 / 1.099, 1 / 4.5,
                                                0.081}; /* Source: Rec. ITU-R BT.709. */

/* Rec. ITU-R BT.2020's primaries and white with sRGB's curve: holds what cameras' spaces hold. */
static cmsHPROFILE wide_profile(void)
{
    const cmsCIExyY white = {0.3127, 0.3290, 1.0};
    const cmsCIExyYTRIPLE primaries = {
        {0.708, 0.292, 1.0}, {0.170, 0.797, 1.0}, {0.131, 0.046, 1.0}};
    cmsToneCurve *curve = cmsBuildParametricToneCurve(NULL, 4, srgb_curve);
    cmsToneCurve *curves[3] = {curve, curve, curve};
    cmsHPROFILE wide = curve ? cmsCreateRGBProfile(&white, &primaries, curves) : NULL;

    if (curve)
        cmsFreeToneCurve(curve);
    return wide;
}

static enum status convert_to_wide(const char *path, cmsHPROFILE handle, struct profile *profile,
                                   struct error *error)
{
    cmsHPROFILE wide = wide_profile();
    bool tabulated;

    if (!wide)
        return error_set(error, STATUS_MEMORY, "%s: out of memory for a colour profile", path);
    profile->conversion =
        cmsCreateTransform(handle, TYPE_RGB_16, wide, TYPE_RGB_16, INTENT_RELATIVE_COLORIMETRIC,
                           cmsFLAGS_NOCACHE | cmsFLAGS_HIGHRESPRECALC);
    tabulated = tabulate_profile(wide, profile->linear_from_sample);
    cmsCloseProfile(wide);
    if (!tabulated || !profile->conversion)
        return damaged(path, "can't be used to convert from", error);
    return STATUS_OK;
}

static enum status understand(const char *path, cmsHPROFILE handle, struct profile *profile,
                              struct error *error)
{
    enum status status;

    if (cmsGetColorSpace(handle) != cmsSigRgbData)
        return damaged(path, "is not of RGB colours", error);
    status = allocate_table(profile, error);
    if (status)
        return status;
    read_name(handle, profile->name, sizeof profile->name);
    if (!is_matrix(handle))
        return convert_to_wide(path, handle, profile, error);
    if (!tabulate_profile(handle, profile->linear_from_sample))
        return damaged(path, "is damaged (its tone curves can't be used)", error);
    return STATUS_OK;
}

/* lcms2 makes do with what is there of a profile that is cut short; colours must not. */
static size_t stated_size(const unsigned char *icc)
{
    return (size_t)icc[0] << 24 | (size_t)icc[1] << 16 | (size_t)icc[2] << 8 | icc[3];
}

static bool is_high_range(int code)
{
    return code == TRANSFER_PQ || code == TRANSFER_HLG;
}

static enum status refuse_high_range(const char *path, int code, struct error *error)
{
    return error_set(error, STATUS_FORMAT,
                     "%s: is coded for high dynamic range (%s); an ordinary photo is wanted: "
                     "export it as JPEG, or turn HDR off in the camera",
                     path, code == TRANSFER_PQ ? "PQ" : "HLG");
}

/* The curve's code of ITU-T H.273, where a profile names it; 0: it does not. */
static int transfer_of(cmsHPROFILE handle)
{
    const cmsVideoSignalType *signal =
        cmsIsTag(handle, cmsSigcicpTag) ? cmsReadTag(handle, cmsSigcicpTag) : NULL;

    return signal ? signal->TransferCharacteristics : 0;
}

enum status profile_from_icc(const char *path, const unsigned char *icc, size_t icc_size,
                             struct profile *profile, struct error *error)
{
    cmsHPROFILE handle;
    enum status status;

    memset(profile, 0, sizeof *profile);
    if (icc_size > PHOTO_PROFILE_BYTES_MAX)
        return damaged(path, "is larger than the limit of 16 MB", error);
    if (icc_size < ICC_HEADER_BYTES || stated_size(icc) > icc_size)
        return damaged(path, "is cut short", error);
    handle = cmsOpenProfileFromMem(icc, (cmsUInt32Number)icc_size);
    if (!handle)
        return damaged(path, "is damaged", error);
    if (is_high_range(transfer_of(handle)))
        status = refuse_high_range(path, transfer_of(handle), error);
    else
        status = understand(path, handle, profile, error);
    cmsCloseProfile(handle);
    return status;
}

static enum status from_curve(const char *name, const cmsFloat64Number parameters[5],
                              struct profile *profile, struct error *error)
{
    cmsToneCurve *curve;
    cmsToneCurve *curves[3];
    enum status status;

    memset(profile, 0, sizeof *profile);
    status = allocate_table(profile, error);
    if (status)
        return status;
    snprintf(profile->name, sizeof profile->name, "%s", name);
    curve = curves[0] = curves[1] = curves[2] = cmsBuildParametricToneCurve(NULL, 4, parameters);
    if (!tabulate_all(curves, profile->linear_from_sample))
        status = error_set(error, STATUS_MEMORY, "out of memory for the curve of %s", name);
    if (curve)
        cmsFreeToneCurve(curve);
    return status;
}

enum status profile_srgb(struct profile *profile, struct error *error)
{
    return from_curve("sRGB", srgb_curve, profile, error);
}

enum status profile_from_transfer(const char *path, int code, struct profile *profile,
                                  struct error *error)
{
    memset(profile, 0, sizeof *profile);
    switch (code) {
    case 1:
    case 6:
    case 11:
    case 14:
    case 15:
        return from_curve("BT.709", bt709_curve, profile, error);
    case 4:
        return profile_from_gamma(NULL, 2.2, profile, error);
    case 5:
        return profile_from_gamma(NULL, 2.8, profile, error);
    case 8:
        return profile_from_gamma("linear", 1, profile, error);
    case 13:
        return profile_srgb(profile, error);
    case TRANSFER_PQ:
    case TRANSFER_HLG:
        return refuse_high_range(path, code, error);
    default:
        return error_set(error, STATUS_FORMAT,
                         "%s: names a tone curve (number %d of ITU-T H.273) that is not read: "
                         "export the photo again as sRGB",
                         path, code);
    }
}

enum status profile_from_gamma(const char *name, double exponent, struct profile *profile,
                               struct error *error)
{
    enum status status;

    memset(profile, 0, sizeof *profile);
    status = allocate_table(profile, error);
    if (status)
        return status;
    if (name)
        snprintf(profile->name, sizeof profile->name, "%s", name);
    else
        snprintf(profile->name, sizeof profile->name, "gamma %.2f", exponent);
    for (int i = 0; i < PROFILE_SAMPLES; i++)
        profile->linear_from_sample[i] = (float)pow((double)i / (PROFILE_SAMPLES - 1), exponent);
    for (int k = 1; k < 3; k++)
        memcpy(profile->linear_from_sample + (size_t)k * PROFILE_SAMPLES,
               profile->linear_from_sample, PROFILE_SAMPLES * sizeof(float));
    return STATUS_OK;
}

void profile_convert(const struct profile *profile, uint16_t *samples, size_t pixels)
{
    if (profile->conversion)
        cmsDoTransform(profile->conversion, samples, samples, (cmsUInt32Number)pixels);
}

void profile_release(struct profile *profile)
{
    if (profile->conversion)
        cmsDeleteTransform(profile->conversion);
    free(profile->linear_from_sample);
    memset(profile, 0, sizeof *profile);
}

enum status profile_srgb_icc(unsigned char **icc, size_t *icc_size, struct error *error)
{
    cmsHPROFILE handle = cmsCreate_sRGBProfile();
    cmsUInt32Number size = 0;
    bool saved = false;

    *icc = NULL;
    if (handle && cmsSaveProfileToMem(handle, NULL, &size))
        *icc = memory_array(size, 1, "the sRGB profile", error);
    if (*icc)
        saved = cmsSaveProfileToMem(handle, *icc, &size);
    if (handle)
        cmsCloseProfile(handle);
    *icc_size = size;
    if (saved)
        return STATUS_OK;
    free(*icc);
    *icc = NULL;
    return error_set(error, STATUS_MEMORY, "out of memory for the sRGB profile");
}
