/* HEIC photos: read as they are seen, and refused for what they are. */

#include "fixture.h"

#include "files/photo.h"

#ifdef WOAD_HEIF

#include "heif_fixture.h"

#include <lcms2.h>

#include <math.h>

#define WIDTH 192
#define HEIGHT 128

static void paint_slopes(int x, int y, uint16_t sample[4])
{
    sample[0] = (uint16_t)(8000 + 250 * x);
    sample[1] = (uint16_t)(56000 - 300 * y);
    sample[2] = (uint16_t)(20000 + 100 * x + 100 * y);
    sample[3] = 65535;
}

static const struct fixture plain = {.width_px = WIDTH, .height_px = HEIGHT, .paint = paint_slopes};

static struct photo read_photo(const char *path, long long pixels_max)
{
    struct photo photo = {0};
    struct error error = {0};

    if (photo_read(path, pixels_max, &photo, &error))
        fail_msg("%s", error.message);
    return photo;
}

static void check_refused(const char *path, enum status wanted, const char *seen)
{
    struct photo photo;
    struct error error = {0};
    enum status status = photo_read(path, PHOTO_WORKING_PIXELS_MAX, &photo, &error);

    if (status != wanted || !strstr(error.message, seen))
        fail_msg("wanted %d with '%s', got %d: %s", (int)wanted, seen, (int)status, error.message);
    assert_ptr_equal(strstr(error.message, path), error.message);
    assert_null(photo.image.samples);
}

/* Root of the mean square, in samples of 16 bits, from what is painted at the same place. */
static double difference_from_slopes(const struct image *image)
{
    double squares = 0;

    for (int y = 0; y < image->height_px; y++)
        for (int x = 0; x < image->width_px; x++) {
            uint16_t wanted[4];

            paint_slopes(x, y, wanted);
            for (int k = 0; k < 3; k++)
                squares += pow((double)image_at(image, x, y)[k] - wanted[k], 2);
        }
    return sqrt(squares / (3.0 * image->width_px * image->height_px));
}

static void a_heic_photo_reads_as_it_was_painted(void **state)
{
    const struct heif_facts kinds[] = {
        {.bits = 8}, {.bits = 8, .full = "444"}, {.bits = 10}, {.bits = 10, .full = "444"}};

    (void)state;
    for (int i = 0; i < 4; i++) {
        struct photo photo;

        fixture_heif(fixture_path("plain.heic"), &plain, &kinds[i]);
        photo = read_photo(fixture_path("plain.heic"), 0);
        assert_int_equal(photo.image.width_px, WIDTH);
        assert_int_equal(photo.image.height_px, HEIGHT);
        assert_int_equal(photo.stored_width_px, WIDTH);
        assert_true(photo.profile_assumed);
        if (difference_from_slopes(&photo.image) > 1.5 * 257)
            fail_msg("kind %d is %.0f off", i, difference_from_slopes(&photo.image));
        photo_release(&photo);
    }
}

/* Ten bits show between the steps of eight. */
static void a_10_bit_heic_photo_keeps_finer_steps_than_8_bits(void **state)
{
    const struct heif_facts fine = {.bits = 10};
    struct photo photo;
    int between = 0;

    (void)state;
    fixture_heif(fixture_path("fine.heic"), &plain, &fine);
    photo = read_photo(fixture_path("fine.heic"), 0);
    for (int x = 0; x < WIDTH; x++)
        between += image_at(&photo.image, x, 60)[0] % 257 != 0;
    assert_in_range(between, WIDTH / 2, WIDTH);
    photo_release(&photo);
}

/*
 * Where a picture's first line and first column are seen. Source: EXIF 2.32 (CIPA DC-008), tag 274;
 * libheif writes the turns of ISO/IEC 23008-12 that come to the same.
 */
static const char first_line[] = " TTBBLRRL";
static const char first_column[] = " LRRLTTBB";
static int stored_turn;

static void away_from(char side, int steps, int *x, int *y)
{
    if (side == 'L')
        *x = steps;
    else if (side == 'R')
        *x = WIDTH - 1 - steps;
    else if (side == 'T')
        *y = steps;
    else
        *y = HEIGHT - 1 - steps;
}

static void paint_as_stored(int x, int y, uint16_t sample[4])
{
    int seen_x = 0, seen_y = 0;

    away_from(first_line[stored_turn], y, &seen_x, &seen_y);
    away_from(first_column[stored_turn], x, &seen_x, &seen_y);
    paint_slopes(seen_x, seen_y, sample);
}

/* Phones write the turn into the file's structure and once more into EXIF. */
static void a_heic_photo_is_turned_upright_once_whatever_its_exif_says(void **state)
{
    unsigned char exif[FIXTURE_EXIF_BYTES];

    (void)state;
    for (int turn = 1; turn <= 8; turn++)
        for (int again = 0; again < 2; again++) {
            struct heif_facts facts = {.turn = turn};
            struct fixture_exif said = {.orientation = again ? turn : 1};
            bool exchanged = strchr("LR", first_line[turn]) != NULL;
            struct fixture fixture = {.width_px = exchanged ? HEIGHT : WIDTH,
                                      .height_px = exchanged ? WIDTH : HEIGHT,
                                      .paint = paint_as_stored,
                                      .exif = exif,
                                      .exif_size = fixture_exif_build(&said, exif)};
            struct photo photo;

            stored_turn = turn;
            fixture_heif(fixture_path("turned.heic"), &fixture, &facts);
            photo = read_photo(fixture_path("turned.heic"), 0);
            assert_int_equal(photo.image.width_px, WIDTH);
            assert_int_equal(photo.stored_width_px, WIDTH);
            if (difference_from_slopes(&photo.image) > 1.5 * 257)
                fail_msg("turn %d is %.0f off", turn, difference_from_slopes(&photo.image));
            photo_release(&photo);
        }
}

/* Source of the seconds: `date -u -d '2026-03-14 14:09:26' +%s`. */
static void the_time_of_a_heic_photo_is_its_exifs(void **state)
{
    unsigned char exif[FIXTURE_EXIF_BYTES];
    struct fixture_exif facts = {
        .orientation = 1, .original = "2026:03:14 15:09:26", .offset = "+01:00"};
    struct heif_facts none = {0};
    struct fixture fixture = plain;
    struct photo photo;

    (void)state;
    fixture.exif = exif;
    fixture.exif_size = fixture_exif_build(&facts, exif);
    fixture_heif(fixture_path("timed.heic"), &fixture, &none);
    photo = read_photo(fixture_path("timed.heic"), 0);
    assert_int_equal(photo.taken.source, PHOTO_TIME_EXIF);
    assert_int_equal(photo.taken.utc_seconds, 1773497366);
    photo_release(&photo);
}

/* Sources: IEC 61966-2-1; Rec. ITU-R BT.709; ITU-T H.273. */
static void the_tone_curve_named_by_a_code_is_taken(void **state)
{
    const struct {
        int code;
        double linear_at_half;
    } curves[] = {{13, 0.21404}, {1, 0.25960}, {4, 0.21764}, {8, 0.5}};

    (void)state;
    for (int i = 0; i < 4; i++) {
        struct heif_facts facts = {.transfer = curves[i].code};
        struct photo photo;

        fixture_heif(fixture_path("curve.heic"), &plain, &facts);
        photo = read_photo(fixture_path("curve.heic"), 0);
        assert_false(photo.profile_assumed);
        if (fabs(photo_linear(&photo, 1, 32768) - curves[i].linear_at_half) > 2e-4)
            fail_msg("code %d gives %.5f", curves[i].code, photo_linear(&photo, 1, 32768));
        photo_release(&photo);
    }
}

static void a_heic_photo_of_high_dynamic_range_is_refused(void **state)
{
    struct heif_facts pq = {.transfer = 16, .bits = 10}, hlg = {.transfer = 18, .bits = 10};

    (void)state;
    fixture_heif(fixture_path("bright.heic"), &plain, &pq);
    check_refused(fixture_path("bright.heic"), STATUS_FORMAT, "high dynamic range (PQ)");
    fixture_heif(fixture_path("bright.heic"), &plain, &hlg);
    check_refused(fixture_path("bright.heic"), STATUS_FORMAT, "high dynamic range (HLG)");
}

/* An exponent of 1.8 with P3's primaries: sure to be no default. */
static unsigned char *profile_bytes(cmsUInt32Number *size)
{
    const cmsCIExyY white = {0.3127, 0.3290, 1.0};
    const cmsCIExyYTRIPLE primaries = {
        {0.680, 0.320, 1.0}, {0.265, 0.690, 1.0}, {0.150, 0.060, 1.0}};
    cmsToneCurve *curve = cmsBuildGamma(NULL, 1.8);
    cmsToneCurve *curves[3] = {curve, curve, curve};
    cmsHPROFILE handle = cmsCreateRGBProfile(&white, &primaries, curves);
    unsigned char *bytes;

    assert_true(cmsSaveProfileToMem(handle, NULL, size));
    bytes = malloc(*size);
    assert_non_null(bytes);
    assert_true(cmsSaveProfileToMem(handle, bytes, size));
    cmsCloseProfile(handle);
    cmsFreeToneCurve(curve);
    return bytes;
}

static void the_profile_in_a_heic_photo_counts_before_a_code(void **state)
{
    cmsUInt32Number size = 0;
    struct fixture fixture = plain;
    unsigned char *icc = profile_bytes(&size);

    (void)state;
    fixture.icc = icc;
    fixture.icc_size = size;
    for (int code = 0; code <= 13; code += 13) {
        struct heif_facts facts = {.transfer = code};
        struct photo photo;

        fixture_heif(fixture_path("profile.heic"), &fixture, &facts);
        photo = read_photo(fixture_path("profile.heic"), 0);
        assert_false(photo.profile_assumed);
        assert_true(fabs(photo_linear(&photo, 0, 32768) - pow(0.5, 1.8)) < 1e-3);
        photo_release(&photo);
    }
    free(icc);
}

static void paint_see_through(int x, int y, uint16_t sample[4])
{
    paint_slopes(x, y, sample);
    sample[3] = x > 70 && y > 60 ? 40000 : 65535;
}

static void a_see_through_heic_picture_is_refused_an_opaque_one_read(void **state)
{
    struct heif_facts none = {0};
    struct fixture fixture = plain;
    struct photo photo;

    (void)state;
    fixture.colours = FIXTURE_RGBA;
    fixture_heif(fixture_path("alpha.heic"), &fixture, &none);
    photo = read_photo(fixture_path("alpha.heic"), 0);
    photo_release(&photo);
    fixture.paint = paint_see_through;
    fixture_heif(fixture_path("alpha.heic"), &fixture, &none);
    check_refused(fixture_path("alpha.heic"), STATUS_FORMAT, "see-through");
}

static void a_heic_photo_cut_short_is_refused(void **state)
{
    struct heif_facts none = {0};

    (void)state;
    fixture_heif(fixture_path("whole.heic"), &plain, &none);
    for (int i = 1; i <= 9; i++) {
        fixture_cut(fixture_path("whole.heic"), fixture_path("cut.heic"), i * 0.1);
        check_refused(fixture_path("cut.heic"), STATUS_FORMAT, "a whole HEIC photo is wanted");
    }
    fixture_cut(fixture_path("whole.heic"), fixture_path("cut.heic"), 0.999);
    check_refused(fixture_path("cut.heic"), STATUS_FORMAT, "is cut short");
}

static void a_small_heic_picture_is_refused(void **state)
{
    struct heif_facts none = {0};
    struct fixture fixture = plain;

    (void)state;
    fixture.width_px = fixture.height_px = 48;
    fixture_heif(fixture_path("small.heic"), &fixture, &none);
    check_refused(fixture_path("small.heic"), STATUS_FORMAT, "has 48 x 48 pixels");
}

static void a_large_heic_photo_is_averaged_down(void **state)
{
    struct heif_facts none = {0};
    struct photo photo;

    (void)state;
    fixture_heif(fixture_path("large.heic"), &plain, &none);
    photo = read_photo(fixture_path("large.heic"), 96 * 64);
    assert_int_equal(photo.image.width_px, 96);
    assert_true(photo.scale == 2.0);
    photo_release(&photo);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_heic_photo_reads_as_it_was_painted),
        cmocka_unit_test(a_10_bit_heic_photo_keeps_finer_steps_than_8_bits),
        cmocka_unit_test(a_heic_photo_is_turned_upright_once_whatever_its_exif_says),
        cmocka_unit_test(the_time_of_a_heic_photo_is_its_exifs),
        cmocka_unit_test(the_tone_curve_named_by_a_code_is_taken),
        cmocka_unit_test(a_heic_photo_of_high_dynamic_range_is_refused),
        cmocka_unit_test(the_profile_in_a_heic_photo_counts_before_a_code),
        cmocka_unit_test(a_see_through_heic_picture_is_refused_an_opaque_one_read),
        cmocka_unit_test(a_heic_photo_cut_short_is_refused),
        cmocka_unit_test(a_small_heic_picture_is_refused),
        cmocka_unit_test(a_large_heic_photo_is_averaged_down),
    };

    return cmocka_run_group_tests_name("HEIC", tests, fixture_heif_setup, fixture_heif_teardown);
}

#else

static void without_libheif_a_heic_photo_is_refused_and_the_package_named(void **state)
{
    struct photo photo;
    struct error error = {0};

    (void)state;
    fixture_bytes(fixture_path("photo.heic"),
                  "\0\0\0\x18"
                  "ftypheic\0\0\0\0",
                  16);
    assert_int_equal(photo_read(fixture_path("photo.heic"), 0, &photo, &error), STATUS_FORMAT);
    assert_non_null(strstr(error.message, "libheif-dev"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(without_libheif_a_heic_photo_is_refused_and_the_package_named),
    };

    return cmocka_run_group_tests_name("HEIC", tests, fixture_setup, fixture_teardown);
}

#endif
