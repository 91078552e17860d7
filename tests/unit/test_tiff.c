/* TIFF photos: every way of storing them reads alike, and the others are refused for what they
 * are. */

#include "fixture.h"

#include "files/photo.h"

#ifdef WOAD_TIFF

#include "tiff_fixture.h"

#include <math.h>

#define WIDTH 150
#define HEIGHT 83

/* Every 16-bit sample is its own. */
static void paint_fine(int x, int y, uint16_t sample[4])
{
    for (int k = 0; k < 3; k++)
        sample[k] = (uint16_t)(7919 * x + 104729 * y + 31 * k);
    sample[3] = 65535;
}

static void paint_slopes(int x, int y, uint16_t sample[4])
{
    sample[0] = (uint16_t)(4000 + 380 * x);
    sample[1] = (uint16_t)(60000 - 600 * y);
    sample[2] = (uint16_t)(20000 + 150 * x + 200 * y);
    sample[3] = 65535;
}

static void paint_see_through(int x, int y, uint16_t sample[4])
{
    paint_fine(x, y, sample);
    sample[3] = x == 77 && y == 60 ? 65000 : 65535;
}

static const struct fixture fine = {
    .width_px = WIDTH, .height_px = HEIGHT, .paint = paint_fine, .bits = 16};

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

static int largest_difference(const struct image *image,
                              void (*paint)(int x, int y, uint16_t sample[4]), int bits)
{
    int largest = 0;

    for (int y = 0; y < image->height_px; y++)
        for (int x = 0; x < image->width_px; x++) {
            uint16_t wanted[4];

            paint(x, y, wanted);
            for (int k = 0; k < 3; k++) {
                int seen = bits == 8 ? (wanted[k] >> 8) * 257 : wanted[k];
                int difference = abs((int)image_at(image, x, y)[k] - seen);

                largest = difference > largest ? difference : largest;
            }
        }
    return largest;
}

static void check_reads(const struct fixture *fixture, const struct tiff_facts *facts,
                        int tolerance)
{
    struct photo photo;

    fixture_tiff(fixture_path("photo.tif"), fixture, facts);
    photo = read_photo(fixture_path("photo.tif"), 0);
    assert_int_equal(photo.image.width_px, WIDTH);
    assert_int_equal(photo.image.height_px, HEIGHT);
    assert_in_range(largest_difference(&photo.image, fixture->paint, fixture->bits), 0, tolerance);
    photo_release(&photo);
}

static void every_way_of_storing_a_tiff_reads_as_it_was_painted(void **state)
{
    const struct tiff_facts ways[] = {
        {0},
        {.lines_of_a_strip = 7},
        {.packing = COMPRESSION_LZW, .lines_of_a_strip = 7},
        {.packing = COMPRESSION_ADOBE_DEFLATE},
        {.packing = COMPRESSION_DEFLATE, .lines_of_a_strip = 16},
        {.packing = COMPRESSION_PACKBITS, .lines_of_a_strip = 16},
        {.tile_px = 16},
        {.tile_px = 64, .packing = COMPRESSION_LZW},
        {.tile_px = 256},
        {.apart = true},
        {.apart = true, .lines_of_a_strip = 9, .packing = COMPRESSION_LZW},
        {.apart = true, .tile_px = 32, .packing = COMPRESSION_ADOBE_DEFLATE},
        {.big_endian = true},
        {.big_endian = true, .tile_px = 64, .packing = COMPRESSION_LZW},
        {.big_tiff = true},
        {.smaller_after = true},
    };

    (void)state;
    for (size_t i = 0; i < sizeof ways / sizeof *ways; i++)
        for (int k = 0; k < 4; k++) {
            struct fixture fixture = fine;

            fixture.bits = k & 1 ? 8 : 16;
            fixture.colours = k & 2 ? FIXTURE_RGBA : FIXTURE_RGB;
            check_reads(&fixture, &ways[i], 0);
        }
}

/* The colours' round trip costs JPEG a few levels of eight bits. */
static void a_tiff_packed_as_jpeg_is_read(void **state)
{
    const struct tiff_facts ways[] = {
        {.packing = COMPRESSION_JPEG, .photometric = PHOTOMETRIC_YCBCR, .lines_of_a_strip = 16},
        {.packing = COMPRESSION_JPEG, .photometric = PHOTOMETRIC_YCBCR, .tile_px = 64},
        {.packing = COMPRESSION_JPEG, .photometric = PHOTOMETRIC_RGB, .lines_of_a_strip = 16}};
    struct fixture fixture = {.width_px = WIDTH, .height_px = HEIGHT, .paint = paint_slopes};

    (void)state;
    fixture.bits = 8;
    for (int i = 0; i < 3; i++)
        check_reads(&fixture, &ways[i], 6 * 257);
}

/* Where the first line and column are seen. Source: TIFF 6.0, Orientation. */
static const char first_line[] = " TTBBLRRL";
static const char first_column[] = " LRRLTTBB";
static int stored_orientation;

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

    away_from(first_line[stored_orientation], y, &seen_x, &seen_y);
    away_from(first_column[stored_orientation], x, &seen_x, &seen_y);
    paint_fine(seen_x, seen_y, sample);
}

static void all_eight_orientations_give_the_same_upright_photo(void **state)
{
    (void)state;
    for (int orientation = 1; orientation <= 8; orientation++) {
        struct tiff_facts facts = {.orientation = orientation};
        bool exchanged = strchr("LR", first_line[orientation]) != NULL;
        struct fixture fixture = {.width_px = exchanged ? HEIGHT : WIDTH,
                                  .height_px = exchanged ? WIDTH : HEIGHT,
                                  .paint = paint_as_stored,
                                  .bits = 16};
        struct photo photo;

        stored_orientation = orientation;
        fixture_tiff(fixture_path("turned.tif"), &fixture, &facts);
        photo = read_photo(fixture_path("turned.tif"), 0);
        assert_int_equal(photo.image.width_px, WIDTH);
        assert_int_equal(photo.stored_width_px, WIDTH);
        assert_int_equal(largest_difference(&photo.image, paint_fine, 16), 0);
        photo_release(&photo);
    }
}

/* Source of the seconds: `date -u -d '2026-03-14 14:09:26' +%s`. */
static void the_time_of_a_tiff_photo_is_its_exifs(void **state)
{
    struct tiff_facts facts = {.original = "2026:03:14 15:09:26", .offset = "+01:00"};
    struct photo photo;

    (void)state;
    fixture_tiff(fixture_path("timed.tif"), &fine, &facts);
    photo = read_photo(fixture_path("timed.tif"), 0);
    assert_int_equal(photo.taken.source, PHOTO_TIME_EXIF);
    assert_true(photo.taken.offset_known);
    assert_int_equal(photo.taken.utc_seconds, 1773497366);
    assert_int_equal(largest_difference(&photo.image, paint_fine, 16), 0);
    photo_release(&photo);
}

static void a_large_tiff_is_averaged_down(void **state)
{
    struct tiff_facts none = {0};
    struct photo photo;

    (void)state;
    fixture_tiff(fixture_path("large.tif"), &fine, &none);
    photo = read_photo(fixture_path("large.tif"), 50 * 28);
    assert_int_equal(photo.image.width_px, 50);
    assert_true(photo.scale == 3.0);
    photo_release(&photo);
}

static void other_kinds_of_tiff_are_refused_for_what_they_are(void **state)
{
    const struct {
        enum fixture_colours colours;
        int bits;
        struct tiff_facts facts;
        const char *words;
    } kinds[] = {
        {FIXTURE_GREY, 16, {0}, "is a greyscale picture"},
        {FIXTURE_CMYK, 8, {0}, "is a CMYK picture"},
        {FIXTURE_RGB, 32, {0}, "8 or 16 bits"},
        {FIXTURE_RGB, 16, {.sample_format = SAMPLEFORMAT_INT}, "8 or 16 bits"},
        {FIXTURE_RGB, 16, {.reduced = true}, "raw file"},
        {FIXTURE_RGB, 16, {.larger_after = true}, "holds several pictures"},
        {FIXTURE_RGB, 8, {.photometric = PHOTOMETRIC_CIELAB}, "of another kind than RGB"},
        {FIXTURE_RGB, 8, {.packing = COMPRESSION_LZMA}, "packed in a way"},
    };

    (void)state;
    for (size_t i = 0; i < sizeof kinds / sizeof *kinds; i++) {
        struct fixture fixture = fine;

        if (kinds[i].facts.packing && !TIFFIsCODECConfigured((uint16_t)kinds[i].facts.packing))
            continue;
        fixture.bits = kinds[i].bits;
        fixture.colours = kinds[i].colours;
        fixture_tiff(fixture_path("other.tif"), &fixture, &kinds[i].facts);
        check_refused(fixture_path("other.tif"), STATUS_FORMAT, kinds[i].words);
    }
}

static void a_see_through_tiff_is_refused(void **state)
{
    struct tiff_facts tiles = {.tile_px = 64}, none = {0};
    struct fixture fixture = fine;

    (void)state;
    fixture.colours = FIXTURE_RGBA;
    fixture.paint = paint_see_through;
    fixture_tiff(fixture_path("alpha.tif"), &fixture, &none);
    check_refused(fixture_path("alpha.tif"), STATUS_FORMAT, "see-through");
    fixture_tiff(fixture_path("alpha.tif"), &fixture, &tiles);
    check_refused(fixture_path("alpha.tif"), STATUS_FORMAT, "see-through");
}

/* libtiff writes a picture's directory last; a copy that breaks off loses it first. */
static void a_tiff_cut_short_is_refused(void **state)
{
    const struct tiff_facts ways[] = {{0},
                                      {.packing = COMPRESSION_LZW, .lines_of_a_strip = 7},
                                      {.tile_px = 64, .packing = COMPRESSION_ADOBE_DEFLATE}};

    (void)state;
    for (int i = 0; i < 3; i++)
        for (int tenths = 1; tenths <= 9; tenths++) {
            fixture_tiff(fixture_path("whole.tif"), &fine, &ways[i]);
            fixture_cut(fixture_path("whole.tif"), fixture_path("cut.tif"), tenths * 0.1);
            check_refused(fixture_path("cut.tif"), STATUS_FORMAT, "cut short or damaged");
        }
}

static void damage(const char *path, size_t from, size_t bytes)
{
    size_t size;
    unsigned char *whole = fixture_load(path, &size);

    memset(whole + from, 0xA5, bytes);
    fixture_bytes(path, whole, size);
    free(whole);
}

static void a_damaged_tiff_is_refused_not_filled_with_grey(void **state)
{
    const struct tiff_facts ways[] = {
        {.packing = COMPRESSION_ADOBE_DEFLATE},
        {.packing = COMPRESSION_JPEG, .photometric = PHOTOMETRIC_YCBCR, .lines_of_a_strip = 83}};

    (void)state;
    for (int i = 0; i < 2; i++) {
        struct fixture fixture = fine;

        fixture.bits = 8;
        fixture_tiff(fixture_path("damaged.tif"), &fixture, &ways[i]);
        damage(fixture_path("damaged.tif"), 3000, 400);
        check_refused(fixture_path("damaged.tif"), STATUS_FORMAT, "cut short or damaged");
    }
}

/* --- files that promise far more than they hold --- */

/* A few hundred bytes: a small picture in one tile of `tile_px` a side. */
static void write_bomb(const char *path, unsigned long side_px, unsigned long tile_px)
{
    unsigned char bytes[400] = "II*\0\x08\0\0";
    unsigned char *at = fixture_put(bytes + 8, 11, 2);

    at = fixture_tag(at, 256, 4, 1, side_px);
    at = fixture_tag(at, 257, 4, 1, side_px);
    at = fixture_tag(at, 258, 3, 3, 300);
    at = fixture_tag(at, 259, 3, 1, COMPRESSION_ADOBE_DEFLATE);
    at = fixture_tag(at, 262, 3, 1, PHOTOMETRIC_RGB);
    at = fixture_tag(at, 277, 3, 1, 3);
    at = fixture_tag(at, 284, 3, 1, 1);
    at = fixture_tag(at, tile_px ? 322 : 278, 4, 1, tile_px ? tile_px : side_px);
    at = fixture_tag(at, tile_px ? 323 : 279, 4, 1, tile_px ? tile_px : 80);
    at = fixture_tag(at, tile_px ? 324 : 273, 4, 1, 310);
    fixture_tag(at, tile_px ? 325 : 339, tile_px ? 4 : 3, 1, tile_px ? 80 : 1);
    at = fixture_put(bytes + 300, 16, 2);
    at = fixture_put(at, 16, 2);
    fixture_put(at, 16, 2);
    fixture_bytes(path, bytes, sizeof bytes);
}

static void a_tiff_that_promises_far_more_than_it_holds_is_refused(void **state)
{
    (void)state;
    write_bomb(fixture_path("tile.tif"), 100, 65536 - 16);
    check_refused(fixture_path("tile.tif"), STATUS_FORMAT, "MB are used");
    write_bomb(fixture_path("tile.tif"), 100, 0x7FFFFFF0);
    check_refused(fixture_path("tile.tif"), STATUS_FORMAT, "wanted");
    write_bomb(fixture_path("side.tif"), 4000000000U, 256);
    check_refused(fixture_path("side.tif"), STATUS_FORMAT, "wanted");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_way_of_storing_a_tiff_reads_as_it_was_painted),
        cmocka_unit_test(a_tiff_packed_as_jpeg_is_read),
        cmocka_unit_test(all_eight_orientations_give_the_same_upright_photo),
        cmocka_unit_test(the_time_of_a_tiff_photo_is_its_exifs),
        cmocka_unit_test(a_large_tiff_is_averaged_down),
        cmocka_unit_test(other_kinds_of_tiff_are_refused_for_what_they_are),
        cmocka_unit_test(a_see_through_tiff_is_refused),
        cmocka_unit_test(a_tiff_cut_short_is_refused),
        cmocka_unit_test(a_damaged_tiff_is_refused_not_filled_with_grey),
        cmocka_unit_test(a_tiff_that_promises_far_more_than_it_holds_is_refused),
    };

    return cmocka_run_group_tests_name("TIFF", tests, fixture_setup, fixture_teardown);
}

#else

static void without_libtiff_a_tiff_photo_is_refused_and_the_package_named(void **state)
{
    struct photo photo;
    struct error error = {0};

    (void)state;
    fixture_bytes(fixture_path("photo.tif"), "II*\0\x08\0\0\0\0\0\0\0\0\0\0\0", 16);
    assert_int_equal(photo_read(fixture_path("photo.tif"), 0, &photo, &error), STATUS_FORMAT);
    assert_non_null(strstr(error.message, "libtiff-dev"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(without_libtiff_a_tiff_photo_is_refused_and_the_package_named),
    };

    return cmocka_run_group_tests_name("TIFF", tests, fixture_setup, fixture_teardown);
}

#endif
