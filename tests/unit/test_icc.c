#include "correction/colour_fit.h"
#include "correction/correction.h"
#include "correction/icc.h"
#include "linear_camera.h"

#include <lcms2.h>

#include <math.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <setjmp.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>
#include <cmocka.h>

static const struct linear_camera camera = {
    .exposure = 0.6, .contrast = 0.2, .fall_x = 0.15, .fall_y = -0.05};

struct fixture {
    struct linear_scene scene;
    struct correction *correction;
    struct correction_quality quality;
    struct photo photo;
    char path[64];
};

static int set_up(void **state)
{
    struct fixture *fixture = calloc(1, sizeof *fixture);
    struct error error;
    size_t size = IMAGE_SAMPLE_MAX + 1;

    assert_non_null(fixture);
    linear_camera_take(&camera, &fixture->scene);
    assert_int_equal(
        correction_fit(&fixture->scene.input, &fixture->correction, &fixture->quality, &error),
        STATUS_OK);
    fixture->photo.linear_from_sample = malloc(3 * size * sizeof(float));
    assert_non_null(fixture->photo.linear_from_sample);
    for (size_t i = 0; i < 3 * size; i++)
        fixture->photo.linear_from_sample[i] =
            (float)linear_camera_decode((double)(i % size) / IMAGE_SAMPLE_MAX);
    strcpy(fixture->photo.path, "seeds/packet table.jpg");
    snprintf(fixture->path, sizeof fixture->path, "fit-%ld.icc", (long)getpid());
    *state = fixture;
    return 0;
}

static int tear_down(void **state)
{
    struct fixture *fixture = *state;

    remove(fixture->path);
    image_release(&fixture->photo.image);
    free(fixture->photo.linear_from_sample);
    correction_release(fixture->correction);
    free(fixture);
    return 0;
}

/* The sample that the photo holds for linear light. */
static uint16_t sample_of(double linear)
{
    return (uint16_t)lround(IMAGE_SAMPLE_MAX * fmin(fmax(linear_camera_encode(linear), 0), 1));
}

/* A model bent by as much as what was learnt of looks: each coefficient by its own deviation. */
static struct colour_model bent_model(int sign)
{
    const struct colour_prior *prior = &colour_priors[COLOUR_LOOK];
    struct colour_model model = colour_fit_start(false);
    const double *root = prior->root;

    for (int p = 0; p < COLOUR_UNKNOWNS; p++) {
        double variance = 0;

        for (int q = 0; q <= p; q++, root++)
            variance += *root * *root;
        model.coefficient[p / 3][p % 3] = prior->mean[p] + sign * sqrt(variance) / 2;
    }
    return model;
}

static void the_pipeline_reads_like_the_model_itself(void **state)
{
    struct error error;

    (void)state;
    for (int sign = -1; sign <= 1; sign++) {
        struct colour_model model = bent_model(sign);
        struct icc_pipeline *pipeline;

        assert_int_equal(icc_pipeline_create(&model, &pipeline, &error), STATUS_OK);
        for (int i = 0; i < 1000; i++) {
            struct lab ink = {5 + 10 * (i % 10), 15 * (i / 10 % 10) - 67, 15 * (i / 100) - 67};
            struct rgb rgb = colour_model_straight_inverse(&model, ink);
            struct lab read;

            icc_pipeline_lab(pipeline, &rgb, 1, &read);
            assert_true(colour_delta_e_2000(read, colour_model_lab(&model, rgb)) < 0.005);
        }
        icc_pipeline_release(pipeline);
    }
}

static cmsHPROFILE written_profile(struct fixture *fixture)
{
    struct error error;
    cmsHPROFILE profile;

    assert_int_equal(
        correction_write_profile(fixture->correction, &fixture->photo, fixture->path, &error),
        STATUS_OK);
    profile = cmsOpenProfileFromFile(fixture->path, "r");
    assert_non_null(profile);
    return profile;
}

static void the_profile_is_a_version_4_input_profile_from_rgb_to_lab(void **state)
{
    cmsHPROFILE profile = written_profile(*state);
    char text[200] = "";

    assert_int_equal(cmsGetDeviceClass(profile), cmsSigInputClass);
    assert_int_equal(cmsGetColorSpace(profile), cmsSigRgbData);
    assert_int_equal(cmsGetPCS(profile), cmsSigLabData);
    assert_int_equal((int)cmsGetProfileVersion(profile), 4);
    assert_true(cmsIsTag(profile, cmsSigAToB0Tag));
    assert_int_equal(cmsGetTagCount(profile) >= 4, 1);
    assert_true(cmsIsTag(profile, cmsSigMediaWhitePointTag));
    assert_true(cmsIsTag(profile, cmsSigCopyrightTag));
    cmsGetProfileInfoASCII(profile, cmsInfoDescription, "en", "US", text, sizeof text);
    assert_non_null(strstr(text, "packet table.jpg"));
    cmsCloseProfile(profile);
}

static void the_profile_gives_the_card_s_colours_as_the_correction_does(void **state)
{
    struct fixture *fixture = *state;
    cmsHPROFILE profile = written_profile(fixture), lab_profile = cmsCreateLab4Profile(NULL);
    cmsHTRANSFORM transform = cmsCreateTransform(profile, TYPE_RGB_16, lab_profile, TYPE_Lab_DBL,
                                                 INTENT_RELATIVE_COLORIMETRIC, cmsFLAGS_NOCACHE);
    struct point centre = {1350, 520}; /* of the card, where the light is 1 */

    assert_non_null(transform);
    for (int i = 0; i < CARD_PATCHES; i++) {
        struct lab wanted = fixture->scene.card.patch[i], read;
        struct area_sample sample = linear_camera_sample(&camera, wanted, centre);
        uint16_t samples[3];
        cmsCIELab out;

        for (int k = 0; k < 3; k++)
            samples[k] = sample_of(sample.rgb_linear.channel[k]);
        cmsDoTransform(transform, samples, &out, 1);
        read = linear_camera_read(&camera, fixture->correction, wanted, centre);
        assert_true(colour_delta_e_2000(read, (struct lab){out.L, out.a, out.b}) < 0.3);
        assert_true(colour_delta_e_2000(read, wanted) < 0.5);
    }
    cmsDeleteTransform(transform);
    cmsCloseProfile(lab_profile);
    cmsCloseProfile(profile);
}

static void a_profile_that_cannot_be_written_is_an_error_that_names_it(void **state)
{
    struct fixture *fixture = *state;
    struct error error;

    assert_int_equal(correction_write_profile(fixture->correction, &fixture->photo,
                                              "/no such folder/fit.icc", &error),
                     STATUS_FILE);
    assert_non_null(strstr(error.message, "/no such folder/fit.icc"));
}

/* A photo 1600 wide of one ink in the camera's own light. */
static void paint(struct fixture *fixture, struct lab ink)
{
    struct error error;

    assert_int_equal(image_create(1600, 8, &fixture->photo.image, &error), STATUS_OK);
    for (int y = 0; y < 8; y++)
        for (int x = 0; x < 1600; x++) {
            struct area_sample sample =
                linear_camera_sample(&camera, ink, (struct point){x + 0.5, y + 0.5});

            for (int k = 0; k < 3; k++)
                image_at(&fixture->photo.image, x, y)[k] = sample_of(sample.rgb_linear.channel[k]);
        }
}

static void a_photo_of_one_ink_in_uneven_light_becomes_one_true_colour(void **state)
{
    struct fixture *fixture = *state;
    struct lab ink = {55, 20, 15};
    struct error error;
    struct rgb wanted;

    paint(fixture, ink);
    assert_true(abs(image_at(&fixture->photo.image, 10, 4)[1] -
                    image_at(&fixture->photo.image, 1590, 4)[1]) > 3000);
    assert_int_equal(correction_apply(fixture->correction, &fixture->photo, &error), STATUS_OK);
    colour_srgb_from_lab(&ink, 1, &wanted);
    for (int x = 0; x < 1600; x += 53)
        for (int k = 0; k < 3; k++) {
            double encoded = image_at(&fixture->photo.image, x, 4)[k] / 65535.0;

            assert_true(fabs(encoded - wanted.channel[k]) < 0.01);
        }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_pipeline_reads_like_the_model_itself),
        cmocka_unit_test_setup_teardown(the_profile_is_a_version_4_input_profile_from_rgb_to_lab,
                                        set_up, tear_down),
        cmocka_unit_test_setup_teardown(the_profile_gives_the_card_s_colours_as_the_correction_does,
                                        set_up, tear_down),
        cmocka_unit_test_setup_teardown(a_profile_that_cannot_be_written_is_an_error_that_names_it,
                                        set_up, tear_down),
        cmocka_unit_test_setup_teardown(a_photo_of_one_ink_in_uneven_light_becomes_one_true_colour,
                                        set_up, tear_down),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
