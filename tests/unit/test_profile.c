/* Colour profiles of photos, as photo_read understands them. */

#include "fixture.h"

#include "files/photo.h"

#include <lcms2.h>

#include <math.h>

static void paint(int x, int y, uint16_t sample[4])
{
    sample[0] = (uint16_t)(x * 601);
    sample[1] = (uint16_t)(y * 757);
    sample[2] = (uint16_t)(65535 - x * 300);
    sample[3] = 65535;
}

static const struct fixture plain = {.width_px = 100, .height_px = 80, .paint = paint, .bits = 16};

static struct photo read_photo(const char *path)
{
    struct photo photo = {0};
    struct error error = {0};

    if (photo_read(path, 0, &photo, &error))
        fail_msg("%s", error.message);
    return photo;
}

/* Source: IEC 61966-2-1. */
static double srgb_linear(double encoded)
{
    return encoded <= 0.04045 ? encoded / 12.92 : pow((encoded + 0.055) / 1.055, 2.4);
}

static double power_22(double encoded)
{
    return pow(encoded, 1 / 0.45455);
}

static double power_oprgb(double encoded)
{
    return pow(encoded, 563.0 / 256.0);
}

static void check_curve(const struct photo *photo, int channel, double (*curve)(double encoded),
                        double tolerance)
{
    for (int i = 0; i < 65536; i++)
        assert_true(fabs(photo_linear(photo, channel, (uint16_t)i) - curve(i / 65535.0)) <
                    tolerance);
}

static void check_samples_stand(const struct photo *photo)
{
    uint16_t wanted[4];

    for (int y = 0; y < 80; y++)
        for (int x = 0; x < 100; x++) {
            paint(x, y, wanted);
            assert_memory_equal(image_at(&photo->image, x, y), wanted, 3 * sizeof *wanted);
        }
}

static unsigned char *profile_bytes(cmsHPROFILE profile, size_t *size)
{
    cmsUInt32Number needed = 0;
    unsigned char *bytes;

    assert_non_null(profile);
    assert_true(cmsSaveProfileToMem(profile, NULL, &needed));
    bytes = malloc(needed);
    assert_non_null(bytes);
    assert_true(cmsSaveProfileToMem(profile, bytes, &needed));
    cmsCloseProfile(profile);
    *size = needed;
    return bytes;
}

static void name_profile(cmsHPROFILE profile, const char *name)
{
    cmsMLU *text = cmsMLUalloc(NULL, 1);

    cmsMLUsetASCII(text, "en", "US", name);
    assert_true(cmsWriteTag(profile, cmsSigProfileDescriptionTag, text));
    cmsMLUfree(text);
}

/* --- without a profile --- */

static void a_photo_without_profile_is_taken_as_srgb_and_says_so(void **state)
{
    struct photo photo = {0};

    (void)state;
    fixture_jpeg(fixture_path("bare.jpg"), &plain);
    photo = read_photo(fixture_path("bare.jpg"));
    assert_true(photo.profile_assumed);
    assert_string_equal(photo.profile_name, "sRGB");
    for (int k = 0; k < 3; k++)
        check_curve(&photo, k, srgb_linear, 2e-6);
    photo_release(&photo);
}

static void a_png_that_names_srgb_is_not_assumed(void **state)
{
    struct fixture fixture = plain;
    struct photo photo = {0};

    (void)state;
    fixture.srgb = true;
    fixture_png(fixture_path("named.png"), &fixture);
    photo = read_photo(fixture_path("named.png"));
    assert_false(photo.profile_assumed);
    check_curve(&photo, 1, srgb_linear, 2e-6);
    photo_release(&photo);
}

static void a_png_that_names_a_gamma_is_taken_at_its_word(void **state)
{
    struct fixture fixture = plain;
    struct photo photo = {0};
    struct error error;

    (void)state;
    fixture.gamma = 0.45455;
    fixture_png(fixture_path("gamma.png"), &fixture);
    photo = read_photo(fixture_path("gamma.png"));
    assert_false(photo.profile_assumed);
    assert_string_equal(photo.profile_name, "gamma 2.20");
    check_curve(&photo, 2, power_22, 1e-6);
    photo_release(&photo);
    fixture.gamma = 0.1;
    fixture_png(fixture_path("gamma.png"), &fixture);
    assert_int_equal(photo_read(fixture_path("gamma.png"), 0, &photo, &error), STATUS_FORMAT);
    assert_non_null(strstr(error.message, "gamma of 10"));
}

/* Source: DCF 2.0 (CIPA DC-009), interoperability "R03"; IEC 61966-2-5. */
static void an_option_file_of_a_camera_is_taken_as_oprgb(void **state)
{
    unsigned char exif[FIXTURE_EXIF_BYTES];
    struct fixture_exif facts = {.orientation = 1, .interoperability = "R03"};
    struct fixture fixture = plain;
    struct photo photo = {0};

    (void)state;
    fixture.exif = exif;
    fixture.exif_size = fixture_exif_build(&facts, exif);
    fixture_jpeg(fixture_path("option.jpg"), &fixture);
    photo = read_photo(fixture_path("option.jpg"));
    assert_false(photo.profile_assumed);
    assert_string_equal(photo.profile_name, "opRGB");
    check_curve(&photo, 0, power_oprgb, 1e-6);
    photo_release(&photo);
}

/* --- with a matrix profile --- */

/* Source of the primaries: SMPTE EG 432-1, with a white of D65. */
static unsigned char *p3_like_profile(cmsToneCurve *curves[3], const char *name, size_t *size)
{
    const cmsCIExyY white = {0.3127, 0.3290, 1.0};
    const cmsCIExyYTRIPLE primaries = {
        {0.680, 0.320, 1.0}, {0.265, 0.690, 1.0}, {0.150, 0.060, 1.0}};
    cmsHPROFILE profile = cmsCreateRGBProfile(&white, &primaries, curves);

    name_profile(profile, name);
    return profile_bytes(profile, size);
}

static void a_p3_photo_keeps_its_samples_and_brings_its_curve(void **state)
{
    const cmsFloat64Number srgb[5] = {2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92, 0.04045};
    cmsToneCurve *curve = cmsBuildParametricToneCurve(NULL, 4, srgb);
    cmsToneCurve *curves[3] = {curve, curve, curve};
    struct fixture fixture = plain;
    unsigned char *icc = p3_like_profile(curves, "Wide screen P3", &fixture.icc_size);

    (void)state;
    fixture.icc = icc;
    for (int i = 0; i < 2; i++) {
        const char *path = fixture_path(i ? "wide.jpg" : "wide.png");
        struct photo photo;

        (i ? fixture_jpeg : fixture_png)(path, &fixture);
        photo = read_photo(path);
        assert_false(photo.profile_assumed);
        assert_string_equal(photo.profile_name, "Wide screen P3");
        check_curve(&photo, 0, srgb_linear, 1e-4);
        if (!i)
            check_samples_stand(&photo);
        photo_release(&photo);
    }
    free(icc);
    cmsFreeToneCurve(curve);
}

static double power_18(double encoded)
{
    return pow(encoded, 1.8);
}

static double power_20(double encoded)
{
    return pow(encoded, 2.0);
}

static double identity(double encoded)
{
    return encoded;
}

static void every_channel_has_its_own_curve(void **state)
{
    cmsToneCurve *curves[3] = {cmsBuildGamma(NULL, 1.8), cmsBuildGamma(NULL, 1.0),
                               cmsBuildGamma(NULL, 2.0)};
    struct fixture fixture = plain;
    unsigned char *icc = p3_like_profile(curves, "three curves", &fixture.icc_size);
    struct photo photo = {0};

    (void)state;
    fixture.icc = icc;
    fixture_png(fixture_path("curves.png"), &fixture);
    photo = read_photo(fixture_path("curves.png"));
    check_curve(&photo, 0, power_18, 1e-4);
    check_curve(&photo, 1, identity, 1e-4);
    check_curve(&photo, 2, power_20, 1e-4);
    photo_release(&photo);
    free(icc);
    for (int k = 0; k < 3; k++)
        cmsFreeToneCurve(curves[k]);
}

static void a_profiles_name_comes_out_as_plain_characters(void **state)
{
    cmsToneCurve *curve = cmsBuildGamma(NULL, 2.0);
    cmsToneCurve *curves[3] = {curve, curve, curve};
    struct fixture fixture = plain;
    unsigned char *icc = p3_like_profile(curves, "red \033[31m\nline", &fixture.icc_size);
    struct photo photo = {0};

    (void)state;
    fixture.icc = icc;
    fixture_png(fixture_path("name.png"), &fixture);
    photo = read_photo(fixture_path("name.png"));
    assert_string_equal(photo.profile_name, "red ?[31m?line");
    photo_release(&photo);
    free(icc);
    cmsFreeToneCurve(curve);
}

/* --- with a table profile --- */

static int sample_table(const cmsUInt16Number in[], cmsUInt16Number out[], void *transform)
{
    cmsDoTransform(transform, in, out, 1);
    return TRUE;
}

/* An RGB profile that is a table and no matrix: sRGB's colours at 17 x 17 x 17 points. */
static unsigned char *table_profile(size_t *size)
{
    cmsHPROFILE srgb = cmsCreate_sRGBProfile();
    cmsHPROFILE lab = cmsCreateLab4Profile(NULL);
    cmsHTRANSFORM transform = cmsCreateTransform(srgb, TYPE_RGB_16, lab, TYPE_Lab_16,
                                                 INTENT_RELATIVE_COLORIMETRIC, cmsFLAGS_NOCACHE);
    cmsPipeline *pipeline = cmsPipelineAlloc(NULL, 3, 3);
    cmsStage *table = cmsStageAllocCLut16bit(NULL, 17, 3, 3, NULL);
    cmsHPROFILE profile = cmsCreateProfilePlaceholder(NULL);

    assert_true(cmsStageSampleCLut16bit(table, sample_table, transform, 0));
    assert_true(
        cmsPipelineInsertStage(pipeline, cmsAT_END, cmsStageAllocToneCurves(NULL, 3, NULL)));
    assert_true(cmsPipelineInsertStage(pipeline, cmsAT_END, table));
    assert_true(
        cmsPipelineInsertStage(pipeline, cmsAT_END, cmsStageAllocToneCurves(NULL, 3, NULL)));
    cmsSetProfileVersion(profile, 4.3);
    cmsSetDeviceClass(profile, cmsSigInputClass);
    cmsSetColorSpace(profile, cmsSigRgbData);
    cmsSetPCS(profile, cmsSigLabData);
    name_profile(profile, "a table");
    assert_true(cmsWriteTag(profile, cmsSigMediaWhitePointTag, cmsD50_XYZ()));
    assert_true(cmsWriteTag(profile, cmsSigAToB0Tag, pipeline));
    cmsPipelineFree(pipeline);
    cmsDeleteTransform(transform);
    cmsCloseProfile(srgb);
    cmsCloseProfile(lab);
    return profile_bytes(profile, size);
}

static void paint_corners(int x, int y, uint16_t sample[4])
{
    int corner = x / 10 + 5 * (y / 40);

    for (int k = 0; k < 3; k++)
        sample[k] = corner & (1 << k) ? 65535 : 0;
    sample[3] = 65535;
}

/*
 * Lab D50 of a pixel in the wide space.
 * Source: Rec. ITU-R BT.2020 primaries to XYZ, adapted from D65 to D50 after Bradford; the matrix
 * is from memory, as commonly printed to seven digits.
 */
static struct lab lab_of_wide(const struct photo *photo, int x, int y)
{
    const double matrix[3][3] = {{0.6734241, 0.1656411, 0.1251286},
                                 {0.2790177, 0.6753402, 0.0456377},
                                 {-0.0019300, 0.0299784, 0.7973330}};
    const uint16_t *sample = image_at(&photo->image, x, y);
    double xyz[3];

    for (int i = 0; i < 3; i++) {
        xyz[i] = 0;
        for (int k = 0; k < 3; k++)
            xyz[i] += matrix[i][k] * (double)photo_linear(photo, k, sample[k]);
    }
    return colour_lab_from_xyz((struct xyz){xyz[0], xyz[1], xyz[2]});
}

/* Source: CIELAB D50 of sRGB's corners, from memory, as commonly printed to two digits. */
static void a_photo_with_a_table_profile_is_converted_to_the_wide_space(void **state)
{
    static const struct lab corners[8] = {{0, 0, 0},
                                          {54.29, 80.81, 69.89},
                                          {87.82, -79.29, 80.99},
                                          {97.61, -15.75, 93.39},
                                          {29.57, 68.30, -112.03},
                                          {60.17, 93.55, -60.50},
                                          {90.67, -50.66, -14.96},
                                          {100, 0, 0}};
    struct fixture fixture = plain;
    unsigned char *icc = table_profile(&fixture.icc_size);
    struct photo photo = {0};

    (void)state;
    fixture.icc = icc;
    fixture.paint = paint_corners;
    fixture_png(fixture_path("table.png"), &fixture);
    photo = read_photo(fixture_path("table.png"));
    assert_string_equal(photo.profile_name, "a table");
    assert_false(photo.profile_assumed);
    check_curve(&photo, 0, srgb_linear, 2e-6);
    for (int corner = 0; corner < 8; corner++) {
        struct lab lab = lab_of_wide(&photo, corner % 5 * 10 + 5, corner / 5 * 40 + 5);

        assert_true(colour_delta_e_2000(lab, corners[corner]) < 0.2);
    }
    photo_release(&photo);
    free(icc);
}

/* --- profiles refused --- */

static void check_refused(const char *path, const char *seen)
{
    struct photo photo = {0};
    struct error error = {0};
    enum status status = photo_read(path, 0, &photo, &error);

    if (status != STATUS_FORMAT || !strstr(error.message, seen))
        fail_msg("wanted '%s', got %d: %s", seen, (int)status, error.message);
    assert_ptr_equal(strstr(error.message, path), error.message);
}

static void a_profile_that_is_not_of_rgb_is_refused(void **state)
{
    cmsToneCurve *curve = cmsBuildGamma(NULL, 2.0);
    cmsHPROFILE profiles[2] = {cmsCreateGrayProfile(cmsD50_xyY(), curve),
                               cmsCreateLab4Profile(NULL)};

    (void)state;
    for (int i = 0; i < 2; i++) {
        struct fixture fixture = plain;
        unsigned char *icc = profile_bytes(profiles[i], &fixture.icc_size);

        fixture.icc = icc;
        fixture_jpeg(fixture_path("not-rgb.jpg"), &fixture);
        check_refused(fixture_path("not-rgb.jpg"), "is not of RGB colours");
        free(icc);
    }
    cmsFreeToneCurve(curve);
}

static void a_damaged_profile_is_refused(void **state)
{
    struct fixture fixture = plain;
    unsigned char *icc = profile_bytes(cmsCreate_sRGBProfile(), &fixture.icc_size);
    size_t whole = fixture.icc_size;

    (void)state;
    fixture.icc = icc;
    for (size_t tenths = 1; tenths < 10; tenths++) {
        fixture.icc_size = whole * tenths / 10;
        fixture_jpeg(fixture_path("damaged.jpg"), &fixture);
        check_refused(fixture_path("damaged.jpg"), "profile");
    }
    fixture.icc_size = whole;
    for (size_t i = 0; i + 4 <= whole; i++)
        if (!memcmp(icc + i, "para", 4))
            memcpy(icc + i, "none", 4);
    fixture_jpeg(fixture_path("damaged.jpg"), &fixture);
    check_refused(fixture_path("damaged.jpg"), "profile");
    free(icc);
}

/* A profile in two parts of which one is missing. */
static void a_profile_with_a_part_missing_is_refused(void **state)
{
    struct fixture fixture = plain;
    unsigned char *icc = profile_bytes(cmsCreate_sRGBProfile(), &fixture.icc_size);
    unsigned char *bytes;
    size_t size, at = 0;

    (void)state;
    fixture.icc = icc;
    fixture_jpeg(fixture_path("part.jpg"), &fixture);
    bytes = fixture_load(fixture_path("part.jpg"), &size);
    while (memcmp(bytes + at, "ICC_PROFILE", 12) != 0)
        at++;
    bytes[at + 13] = 2;
    fixture_bytes(fixture_path("part.jpg"), bytes, size);
    check_refused(fixture_path("part.jpg"), "damaged colour profile");
    free(bytes);
    free(icc);
}

static void a_damaged_profile_of_a_png_is_refused(void **state)
{
    struct fixture fixture = plain;
    unsigned char *icc = profile_bytes(cmsCreate_sRGBProfile(), &fixture.icc_size);
    unsigned char *bytes;
    size_t size, at = 0;

    (void)state;
    fixture.icc = icc;
    fixture_png(fixture_path("profile.png"), &fixture);
    bytes = fixture_load(fixture_path("profile.png"), &size);
    while (memcmp(bytes + at, "iCCP", 4) != 0)
        at++;
    for (int i = 10; i < 300; i += 17) {
        bytes[at + (size_t)i] ^= 0x55;
        fixture_bytes(fixture_path("profile.png"), bytes, size);
        check_refused(fixture_path("profile.png"), "damaged");
        bytes[at + (size_t)i] ^= 0x55;
    }
    free(bytes);
    free(icc);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_photo_without_profile_is_taken_as_srgb_and_says_so),
        cmocka_unit_test(a_png_that_names_srgb_is_not_assumed),
        cmocka_unit_test(a_png_that_names_a_gamma_is_taken_at_its_word),
        cmocka_unit_test(an_option_file_of_a_camera_is_taken_as_oprgb),
        cmocka_unit_test(a_p3_photo_keeps_its_samples_and_brings_its_curve),
        cmocka_unit_test(every_channel_has_its_own_curve),
        cmocka_unit_test(a_profiles_name_comes_out_as_plain_characters),
        cmocka_unit_test(a_photo_with_a_table_profile_is_converted_to_the_wide_space),
        cmocka_unit_test(a_profile_that_is_not_of_rgb_is_refused),
        cmocka_unit_test(a_damaged_profile_is_refused),
        cmocka_unit_test(a_profile_with_a_part_missing_is_refused),
        cmocka_unit_test(a_damaged_profile_of_a_png_is_refused),
    };

    return cmocka_run_group_tests_name("profile", tests, fixture_setup, fixture_teardown);
}
