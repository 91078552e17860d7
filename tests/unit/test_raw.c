/* Raw photos: what comes out is the sensor's own light, upright, with its time. */

#include "fixture.h"

#include "files/photo.h"
#include "scene/dng.h"

#include <math.h>

static struct photo read_photo(const char *path, long long pixels_max)
{
    struct photo photo = {0};
    struct error error = {0};

    if (photo_read(path, pixels_max, &photo, &error))
        fail_msg("%s", error.message);
    return photo;
}

#if defined WOAD_RAW && defined WOAD_TIFF

#include <libraw/libraw.h>

#define WIDTH 300
#define HEIGHT 180
#define BLACK 512
#define WHITE 15000
#define STEP (1.0 / (WHITE - BLACK)) /* of light, as the sensor counts it */

static uint16_t picture[HEIGHT][WIDTH][3];

/* Fields of 60 x 60, each of another colour; all even ones pairwise different in every channel. */
static void paint_fields(void)
{
    for (int y = 0; y < HEIGHT; y++)
        for (int x = 0; x < WIDTH; x++)
            for (int k = 0; k < 3; k++)
                picture[y][x][k] = (uint16_t)(300 + 4000 * (x / 60) + 13000 * (y / 60) + 11000 * k);
}

static void write_fields(const char *path, struct dng dng)
{
    dng.width_px = WIDTH;
    dng.height_px = HEIGHT;
    dng.rgb_linear = picture[0][0];
    dng.black = BLACK;
    dng.white = WHITE;
    assert_int_equal(dng_write(path, &dng), 0);
}

static double light_at(const struct photo *photo, int x, int y, int channel)
{
    return (double)photo_linear(photo, channel, image_at(&photo->image, x, y)[channel]);
}

static void check_fields(const struct photo *photo, int side)
{
    double worst = 0;

    assert_int_equal(photo->image.width_px, WIDTH / side);
    assert_int_equal(photo->image.height_px, HEIGHT / side);
    assert_true(photo->scale == side);
    for (int y = 0; y < photo->image.height_px; y++)
        for (int x = 0; x < photo->image.width_px; x++)
            for (int k = 0; k < 3; k++) {
                double wanted = picture[y * side][x * side][k] / 65535.0;

                worst = fmax(worst, fabs(light_at(photo, x, y, k) - wanted));
            }
    if (worst > STEP)
        fail_msg("a light misses by %g, %.2f of the sensor's steps", worst, worst / STEP);
}

static void a_mosaic_reads_as_the_sensors_light_at_half_its_size(void **state)
{
    struct photo photo;

    (void)state;
    paint_fields();
    write_fields(fixture_path("mosaic.dng"), (struct dng){.kind = DNG_MOSAIC});
    photo = read_photo(fixture_path("mosaic.dng"), 0);
    assert_true(photo.raw);
    assert_false(photo.profile_assumed);
    assert_int_equal(photo.stored_width_px, WIDTH);
    assert_int_equal(photo.stored_height_px, HEIGHT);
    check_fields(&photo, 2);
    photo_release(&photo);
}

static void a_linear_raw_photo_reads_at_its_own_size(void **state)
{
    struct photo photo;

    (void)state;
    paint_fields();
    write_fields(fixture_path("linear.dng"), (struct dng){.kind = DNG_LINEAR});
    photo = read_photo(fixture_path("linear.dng"), 0);
    assert_true(photo.raw);
    check_fields(&photo, 1);
    photo_release(&photo);
}

static void a_large_raw_photo_is_averaged_down_to_the_working_size(void **state)
{
    struct photo photo;

    (void)state;
    paint_fields();
    for (int kind = DNG_MOSAIC; kind <= DNG_LINEAR; kind++) {
        write_fields(fixture_path("large.dng"), (struct dng){.kind = (enum dng_kind)kind});
        photo = read_photo(fixture_path("large.dng"), WIDTH * HEIGHT / 8);
        check_fields(&photo, 3);
        photo_release(&photo);
    }
}

/* The camera took a warm lamp for white, and a bright patch of one channel lies at the sensor's
 * end: what is full is full in its own channel alone, and nothing is balanced or brightened. */
static void a_full_sensor_is_full_in_its_channel_and_nothing_is_balanced(void **state)
{
    struct photo photo;

    (void)state;
    paint_fields();
    for (int y = 0; y < 60; y++)
        for (int x = 0; x < 60; x++)
            picture[y][x][1] = 65535;
    write_fields(fixture_path("full.dng"),
                 (struct dng){.kind = DNG_MOSAIC, .neutral = {0.9f, 1, 0.4f}});
    photo = read_photo(fixture_path("full.dng"), 0);
    assert_int_equal(image_at(&photo.image, 5, 5)[1], 65535);
    check_fields(&photo, 2);
    photo_release(&photo);
}

static void a_grain_finer_than_a_pixel_keeps_its_mean_light(void **state)
{
    struct photo photo;

    (void)state;
    for (int y = 0; y < HEIGHT; y++)
        for (int x = 0; x < WIDTH; x++)
            for (int k = 0; k < 3; k++)
                picture[y][x][k] = (x / 2 + y / 2) % 2 ? 6000 : 18000;
    write_fields(fixture_path("grain.dng"), (struct dng){.kind = DNG_MOSAIC});
    photo = read_photo(fixture_path("grain.dng"), WIDTH * HEIGHT / 16);
    assert_true(photo.scale == 4);
    for (int k = 0; k < 3; k++)
        assert_true(fabs(light_at(&photo, 20, 20, k) - 12000 / 65535.0) < STEP);
    photo_release(&photo);
}

static void a_raw_photo_is_turned_upright_and_tells_its_time(void **state)
{
    const struct dng turned = {
        .kind = DNG_MOSAIC, .orientation = 6, .taken = "2026:03:14 15:09:26", .offset = "+01:00"};
    struct photo photo;

    (void)state;
    paint_fields();
    write_fields(fixture_path("turned.dng"), turned);
    photo = read_photo(fixture_path("turned.dng"), 0);
    assert_int_equal(photo.stored_width_px, HEIGHT);
    assert_int_equal(photo.image.height_px, WIDTH / 2);
    /* EXIF's 6: the stored picture's first line is seen on the right, its first column on top */
    for (int k = 0; k < 3; k++)
        assert_true(fabs(light_at(&photo, HEIGHT / 2 - 1, 0, k) - picture[0][0][k] / 65535.0) <
                    STEP);
    assert_int_equal(photo.taken.source, PHOTO_TIME_EXIF);
    assert_true(photo.taken.offset_known);
    assert_int_equal(photo.taken.utc_seconds,
                     1773497366); /* date -u -d '2026-03-14 14:09:26' +%s */
    photo_release(&photo);
}

/* LibRaw's own development at half size, told to leave all alone, as the reference; it does not
 * take the black level off what it takes for full. */
static void the_light_agrees_with_libraws_own_development(void **state)
{
    libraw_data_t *raw = libraw_init(0);
    libraw_processed_image_t *developed;
    const ushort *reference;
    struct photo photo;
    int fault = 0;

    (void)state;
    paint_fields();
    write_fields(fixture_path("reference.dng"), (struct dng){.kind = DNG_MOSAIC});
    photo = read_photo(fixture_path("reference.dng"), 0);
    assert_int_equal(libraw_open_file(raw, fixture_path("reference.dng")), 0);
    assert_int_equal(libraw_unpack(raw), 0);
    raw->params.half_size = raw->params.no_auto_bright = 1;
    raw->params.output_bps = 16;
    raw->params.output_color = 0;
    raw->params.gamm[0] = raw->params.gamm[1] = 1;
    raw->params.adjust_maximum_thr = 0;
    for (int k = 0; k < 4; k++)
        raw->params.user_mul[k] = 1;
    assert_int_equal(libraw_dcraw_process(raw), 0);
    developed = libraw_dcraw_make_mem_image(raw, &fault);
    assert_non_null(developed);
    assert_int_equal(developed->width, photo.image.width_px);
    reference = (const ushort *)(const void *)developed->data;
    for (int i = 0; i < developed->width * developed->height * 3; i++)
        assert_true(fabs(photo_linear(&photo, i % 3, photo.image.samples[i]) -
                         reference[i] / 65535.0) < STEP);
    libraw_dcraw_clear_mem(developed);
    libraw_close(raw);
    photo_release(&photo);
}

static void check_refused(const char *path, const char *seen)
{
    struct photo photo;
    struct error error = {0};
    enum status status = photo_read(path, 0, &photo, &error);

    if (status != STATUS_FORMAT || !strstr(error.message, seen))
        fail_msg("wanted '%s', got %d: %s", seen, (int)status, error.message);
    assert_ptr_equal(strstr(error.message, path), error.message);
}

static void a_raw_photo_cut_short_is_refused(void **state)
{
    (void)state;
    paint_fields();
    for (int kind = DNG_MOSAIC; kind <= DNG_LINEAR; kind++) {
        write_fields(fixture_path("whole.dng"), (struct dng){.kind = (enum dng_kind)kind});
        fixture_cut(fixture_path("whole.dng"), fixture_path("cut.dng"), 0.9);
        check_refused(fixture_path("cut.dng"), "cut short or damaged");
    }
}

/* The first bytes of a CR3, a CR2 and a RAF, and no more. */
static void a_raw_photo_of_which_only_the_beginning_is_there_is_refused_as_raw(void **state)
{
    static const char beginnings[][17] = {"\0\0\0\030ftypcrx \0\0\0\1",
                                          "II*\0\x10\0\0\0CR\2\0\0\0\0\0", "FUJIFILMCCD-RAW "};

    (void)state;
    for (size_t i = 0; i < sizeof beginnings / sizeof *beginnings; i++) {
        fixture_bytes(fixture_path("beginning.jpg"), beginnings[i], 16);
        check_refused(fixture_path("beginning.jpg"), "is a raw file");
    }
}

/* Source of the number: DNG 1.7.1, compression 52546 is JPEG XL; from memory. */
static void a_raw_photo_packed_as_jpeg_xl_is_refused_and_the_way_out_named(void **state)
{
    unsigned char packing[12] = {0x03, 0x01, 3, 0, 1, 0, 0, 0, 1, 0, 0, 0};
    unsigned char *bytes;
    size_t size, at = 0;

    (void)state;
    paint_fields();
    write_fields(fixture_path("plain.dng"), (struct dng){.kind = DNG_LINEAR});
    bytes = fixture_load(fixture_path("plain.dng"), &size);
    while (at + sizeof packing < size && memcmp(bytes + at, packing, sizeof packing) != 0)
        at++;
    assert_true(at + sizeof packing < size);
    bytes[at + 8] = 52546 & 255;
    bytes[at + 9] = 52546 >> 8;
    fixture_bytes(fixture_path("xl.dng"), bytes, size);
    free(bytes);
    check_refused(fixture_path("xl.dng"), "without JPEG XL");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_mosaic_reads_as_the_sensors_light_at_half_its_size),
        cmocka_unit_test(a_linear_raw_photo_reads_at_its_own_size),
        cmocka_unit_test(a_large_raw_photo_is_averaged_down_to_the_working_size),
        cmocka_unit_test(a_full_sensor_is_full_in_its_channel_and_nothing_is_balanced),
        cmocka_unit_test(a_grain_finer_than_a_pixel_keeps_its_mean_light),
        cmocka_unit_test(a_raw_photo_is_turned_upright_and_tells_its_time),
        cmocka_unit_test(the_light_agrees_with_libraws_own_development),
        cmocka_unit_test(a_raw_photo_cut_short_is_refused),
        cmocka_unit_test(a_raw_photo_of_which_only_the_beginning_is_there_is_refused_as_raw),
        cmocka_unit_test(a_raw_photo_packed_as_jpeg_xl_is_refused_and_the_way_out_named),
    };

    return cmocka_run_group_tests_name("raw", tests, fixture_setup, fixture_teardown);
}

#else

static void without_its_library_a_raw_photo_is_refused_and_the_package_named(void **state)
{
    static const char signature[64] = "FUJIFILMCCD-RAW ";
    struct photo photo;
    struct error error = {0};

    (void)state;
    fixture_bytes(fixture_path("photo.raf"), signature, sizeof signature);
    assert_int_equal(photo_read(fixture_path("photo.raf"), 0, &photo, &error), STATUS_FORMAT);
    assert_non_null(strstr(error.message, "raw"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(without_its_library_a_raw_photo_is_refused_and_the_package_named),
    };

    (void)read_photo;
    return cmocka_run_group_tests_name("raw", tests, fixture_setup, fixture_teardown);
}

#endif
