#include "fixture.h"

#include "files/photo.h"

#include <fcntl.h>
#include <math.h>
#include <sys/stat.h>
#include <time.h>
#include <xxhash.h>

#define WIDTH 150
#define HEIGHT 83 /* neither is a multiple of a JPEG block */

/* Rounding of colours and coefficients alone, at the finest quality, gives blue an error of 0.8
 * levels standard deviation: over 40,000 samples some pass 4 levels. */
#define JPEG_TOLERANCE (6 * 257)

/* Smooth, and different in every corner and direction. */
static void paint_slopes(int x, int y, uint16_t sample[4])
{
    sample[0] = (uint16_t)(4000 + 380 * x);
    sample[1] = (uint16_t)(60000 - 600 * y);
    sample[2] = (uint16_t)(20000 + 150 * x + 200 * y);
    sample[3] = 65535;
}

/* Every 16-bit sample is its own. */
static void paint_fine(int x, int y, uint16_t sample[4])
{
    for (int k = 0; k < 3; k++)
        sample[k] = (uint16_t)(7919 * x + 104729 * y + 31 * k);
    sample[3] = 65535;
}

static struct photo read_photo(const char *path, long long pixels_max)
{
    struct photo photo = {0};
    struct error error = {0};

    if (photo_read(path, pixels_max, &photo, &error))
        fail_msg("%s", error.message);
    return photo;
}

static int largest_difference(const struct image *image,
                              void (*paint)(int x, int y, uint16_t sample[4]))
{
    int largest = 0;

    for (int y = 0; y < image->height_px; y++)
        for (int x = 0; x < image->width_px; x++) {
            uint16_t wanted[4];

            paint(x, y, wanted);
            for (int k = 0; k < 3; k++) {
                int difference = abs((int)image_at(image, x, y)[k] - (int)wanted[k]);

                largest = difference > largest ? difference : largest;
            }
        }
    return largest;
}

/*
 * EXIF says where the stored picture's first line and first column are seen.
 * Source: EXIF 2.32 (CIPA DC-008), tag 274.
 */
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
    paint_slopes(seen_x, seen_y, sample);
}

static struct fixture turned_fixture(int orientation, unsigned char *exif)
{
    struct fixture_exif facts = {.orientation = orientation};
    bool exchanged = strchr("LR", first_line[orientation]) != NULL;

    stored_orientation = orientation;
    return (struct fixture){.width_px = exchanged ? HEIGHT : WIDTH,
                            .height_px = exchanged ? WIDTH : HEIGHT,
                            .paint = paint_as_stored,
                            .bits = 16,
                            .exif = exif,
                            .exif_size = fixture_exif_build(&facts, exif)};
}

static void check_upright(const char *path, int tolerance)
{
    struct photo photo = read_photo(path, 0);

    assert_int_equal(photo.image.width_px, WIDTH);
    assert_int_equal(photo.image.height_px, HEIGHT);
    assert_int_equal(photo.stored_width_px, WIDTH);
    assert_int_equal(photo.stored_height_px, HEIGHT);
    assert_in_range(largest_difference(&photo.image, paint_slopes), 0, tolerance);
    photo_release(&photo);
}

static void all_eight_orientations_give_the_same_upright_photo(void **state)
{
    unsigned char exif[FIXTURE_EXIF_BYTES];

    (void)state;
    for (int orientation = 1; orientation <= 8; orientation++) {
        struct fixture fixture = turned_fixture(orientation, exif);

        fixture_png(fixture_path("turned.png"), &fixture);
        check_upright(fixture_path("turned.png"), 0);
        fixture.exif_last = true;
        fixture_png(fixture_path("turned.png"), &fixture);
        check_upright(fixture_path("turned.png"), 0);
        fixture_jpeg(fixture_path("turned.jpg"), &fixture);
        check_upright(fixture_path("turned.jpg"), JPEG_TOLERANCE);
    }
}

static void an_orientation_out_of_range_is_taken_as_upright(void **state)
{
    unsigned char exif[FIXTURE_EXIF_BYTES];
    const int odd[] = {0, 9, 65535};

    (void)state;
    for (int i = 0; i < 3; i++) {
        struct fixture fixture = turned_fixture(1, exif);
        struct fixture_exif facts = {.orientation = odd[i]};

        fixture_exif_build(&facts, exif);
        fixture_png(fixture_path("odd.png"), &fixture);
        check_upright(fixture_path("odd.png"), 0);
    }
}

/* As EXIF, but the orientation in four bytes, which the standard does not have. */
static void an_orientation_in_four_bytes_is_understood(void **state)
{
    unsigned char exif[FIXTURE_EXIF_BYTES];

    (void)state;
    for (int orientation = 1; orientation <= 8; orientation++) {
        struct fixture fixture = turned_fixture(orientation, exif);

        fixture_tag(exif + 6 + 8 + 2, 0x0112, 4, 1, (unsigned)orientation);
        fixture_jpeg(fixture_path("long.jpg"), &fixture);
        check_upright(fixture_path("long.jpg"), JPEG_TOLERANCE);
    }
}

static void paint_grey(int x, int y, uint16_t sample[4])
{
    (void)x;
    (void)y;
    for (int k = 0; k < 4; k++)
        sample[k] = 30000;
}

/* Behind the other directories, from offset 250 of the block on: one for the thumbnail, which has
 * an orientation of its own, and the thumbnail. */
static size_t add_thumbnail(unsigned char *exif, size_t room)
{
    const struct fixture small = {.width_px = 80, .height_px = 60, .paint = paint_grey};
    unsigned char *tiff = exif + 6, *at, *thumbnail;
    size_t size;

    fixture_jpeg(fixture_path("thumbnail.jpg"), &small);
    thumbnail = fixture_load(fixture_path("thumbnail.jpg"), &size);
    assert_in_range(size, 100, room - 400);
    fixture_put(tiff + 8 + 2 + 2 * 12, 250, 4);
    at = fixture_put(tiff + 250, 4, 2);
    at = fixture_tag(at, 0x0103, 3, 1, 6);
    at = fixture_tag(at, 0x0112, 3, 1, 8);
    at = fixture_tag(at, 0x0201, 4, 1, 310);
    fixture_tag(at, 0x0202, 4, 1, size);
    memcpy(tiff + 310, thumbnail, size);
    free(thumbnail);
    return 6 + 310 + size;
}

static void an_exif_thumbnail_and_its_orientation_are_passed_by(void **state)
{
    unsigned char exif[8000] = {0};

    (void)state;
    for (int orientation = 1; orientation <= 8; orientation += 5) {
        struct fixture fixture = turned_fixture(orientation, exif);

        fixture.exif_size = add_thumbnail(exif, sizeof exif);
        fixture_jpeg(fixture_path("thumbnailed.jpg"), &fixture);
        check_upright(fixture_path("thumbnailed.jpg"), JPEG_TOLERANCE);
        fixture_png(fixture_path("thumbnailed.png"), &fixture);
        check_upright(fixture_path("thumbnailed.png"), 0);
    }
}

/* Phones put a second picture, such as one of brightness, behind the first. */
static void a_picture_behind_the_photo_is_passed_by(void **state)
{
    const struct fixture first = {.width_px = WIDTH, .height_px = HEIGHT, .paint = paint_slopes};
    const struct fixture second = {.width_px = 300, .height_px = 200, .paint = paint_grey};
    unsigned char *one, *two, *both;
    size_t one_size, two_size;

    (void)state;
    fixture_jpeg(fixture_path("one.jpg"), &first);
    fixture_jpeg(fixture_path("two.jpg"), &second);
    one = fixture_load(fixture_path("one.jpg"), &one_size);
    two = fixture_load(fixture_path("two.jpg"), &two_size);
    both = malloc(one_size + two_size);
    assert_non_null(both);
    memcpy(both, one, one_size);
    memcpy(both + one_size, two, two_size);
    fixture_bytes(fixture_path("both.jpg"), both, one_size + two_size);
    check_upright(fixture_path("both.jpg"), JPEG_TOLERANCE);
    free(one);
    free(two);
    free(both);
}

static void a_16_bit_png_keeps_its_16_bits(void **state)
{
    struct fixture fixture = {.width_px = 200, .height_px = 90, .paint = paint_fine, .bits = 16};
    struct photo photo = {0};

    (void)state;
    for (int i = 0; i < 4; i++) {
        fixture.colours = i & 1 ? FIXTURE_RGBA : FIXTURE_RGB;
        fixture.interlaced = i & 2;
        fixture_png(fixture_path("fine.png"), &fixture);
        photo = read_photo(fixture_path("fine.png"), PHOTO_WORKING_PIXELS_MAX);
        assert_int_equal(photo.image.width_px, 200);
        assert_int_equal(photo.image.height_px, 90);
        assert_int_equal(largest_difference(&photo.image, paint_fine), 0);
        assert_true(photo.scale == 1.0);
        photo_release(&photo);
    }
}

static void an_8_bit_png_is_widened_times_257(void **state)
{
    struct fixture fixture = {.width_px = 120, .height_px = 70, .paint = paint_fine};
    struct photo photo = {0};
    uint16_t wanted[4];

    (void)state;
    fixture_png(fixture_path("plain.png"), &fixture);
    photo = read_photo(fixture_path("plain.png"), 0);
    for (int y = 0; y < 70; y++)
        for (int x = 0; x < 120; x++) {
            paint_fine(x, y, wanted);
            for (int k = 0; k < 3; k++)
                assert_int_equal(image_at(&photo.image, x, y)[k], (wanted[k] >> 8) * 257);
        }
    photo_release(&photo);
}

static void a_palette_png_is_read_in_its_colours(void **state)
{
    struct fixture fixture = {
        .width_px = 120, .height_px = 70, .paint = paint_slopes, .colours = FIXTURE_PALETTE};
    struct photo photo = {0};
    uint16_t wanted[4];

    (void)state;
    fixture_png(fixture_path("palette.png"), &fixture);
    photo = read_photo(fixture_path("palette.png"), 0);
    for (int x = 0; x < 120; x++) {
        paint_slopes(x, 5, wanted);
        assert_int_equal(image_at(&photo.image, x, 5)[0], (wanted[0] >> 8) * 257);
        assert_int_equal(image_at(&photo.image, x, 5)[1], (255 - (wanted[0] >> 8)) * 257);
        assert_int_equal(image_at(&photo.image, x, 5)[2], ((wanted[0] >> 8) ^ 85) * 257);
    }
    photo_release(&photo);
}

static void a_large_png_is_averaged_down(void **state)
{
    struct fixture fixture = {.width_px = 200, .height_px = 101, .paint = paint_fine, .bits = 16};
    struct photo photo = {0};

    (void)state;
    fixture_png(fixture_path("large.png"), &fixture);
    photo = read_photo(fixture_path("large.png"), 66 * 33);
    assert_int_equal(photo.image.width_px, 66);
    assert_int_equal(photo.image.height_px, 33);
    assert_true(photo.scale == 3.0);
    assert_int_equal(photo.stored_width_px, 200);
    for (int y = 0; y < 33; y++)
        for (int x = 0; x < 66; x++) {
            double sum = 0;
            uint16_t sample[4];

            for (int i = 0; i < 9; i++) {
                paint_fine(3 * x + i % 3, 3 * y + i / 3, sample);
                sum += sample[1];
            }
            assert_true(fabs(image_at(&photo.image, x, y)[1] - sum / 9) <= 0.5);
        }
    photo_release(&photo);
}

/* Waves of 100 pixels: smooth enough that any sound way of scaling gives the average. */
static void paint_waves(int x, int y, uint16_t sample[4])
{
    sample[0] = (uint16_t)(32768 + 20000 * sin(x * 0.0628));
    sample[1] = (uint16_t)(32768 + 20000 * cos(y * 0.0628));
    sample[2] = (uint16_t)(32768 + 15000 * sin((x + y) * 0.0444));
    sample[3] = 65535;
}

static double average_of(const struct image *image, int x, int y, double scale, int k)
{
    double sum = 0, weight = 0;

    for (int v = (int)(y * scale); v < (y + 1) * scale && v < image->height_px; v++)
        for (int u = (int)(x * scale); u < (x + 1) * scale && u < image->width_px; u++) {
            double across = fmin(u + 1, (x + 1) * scale) - fmax(u, x * scale);
            double down = fmin(v + 1, (y + 1) * scale) - fmax(v, y * scale);

            sum += across * down * image_at(image, u, v)[k];
            weight += across * down;
        }
    return sum / weight;
}

static void scaled_decoding_of_jpeg_agrees_with_averaging(void **state)
{
    struct fixture fixture = {.width_px = 400, .height_px = 240, .paint = paint_waves};
    struct photo full;

    (void)state;
    fixture_jpeg(fixture_path("waves.jpg"), &fixture);
    full = read_photo(fixture_path("waves.jpg"), 0);
    for (int eighths = 1; eighths <= 8; eighths++) {
        struct photo small = read_photo(fixture_path("waves.jpg"), 50LL * eighths * 30 * eighths);
        double squares = 0;
        int samples = 50 * eighths * 30 * eighths * 3;

        assert_int_equal(small.image.width_px, 50 * eighths);
        assert_int_equal(small.image.height_px, 30 * eighths);
        assert_true(small.scale == 8.0 / eighths);
        for (int i = 0; i < samples; i++) {
            int x = i / 3 % (50 * eighths), y = i / 3 / (50 * eighths);
            double wanted = average_of(&full.image, x, y, small.scale, i % 3);

            squares += pow(small.image.samples[i] - wanted, 2);
        }
        assert_true(sqrt(squares / samples) < 1.0 * 257);
        photo_release(&small);
    }
    photo_release(&full);
}

static void a_jpeg_is_averaged_further_where_an_eighth_is_too_large(void **state)
{
    struct fixture fixture = {.width_px = 800, .height_px = 480, .paint = paint_waves};
    struct photo photo = {0};

    (void)state;
    fixture_jpeg(fixture_path("waves.jpg"), &fixture);
    photo = read_photo(fixture_path("waves.jpg"), 1500);
    assert_int_equal(photo.image.width_px, 50);
    assert_int_equal(photo.image.height_px, 30);
    assert_true(photo.scale == 16.0);
    photo_release(&photo);
}

static void a_progressive_jpeg_reads_as_a_baseline_one(void **state)
{
    struct fixture fixture = {.width_px = WIDTH, .height_px = HEIGHT, .paint = paint_slopes};

    (void)state;
    fixture.progressive = true;
    fixture_jpeg(fixture_path("progressive.jpg"), &fixture);
    check_upright(fixture_path("progressive.jpg"), JPEG_TOLERANCE);
}

static void the_kind_of_a_photo_is_told_by_its_content(void **state)
{
    struct fixture fixture = {.width_px = WIDTH, .height_px = HEIGHT, .paint = paint_slopes};

    (void)state;
    fixture_jpeg(fixture_path("misnamed.png"), &fixture);
    check_upright(fixture_path("misnamed.png"), JPEG_TOLERANCE);
}

/* --- time --- */

static struct photo_time time_read(const char *original, const char *offset)
{
    unsigned char exif[FIXTURE_EXIF_BYTES];
    struct fixture_exif facts = {.orientation = 1, .original = original, .offset = offset};
    struct fixture fixture = {.width_px = WIDTH,
                              .height_px = HEIGHT,
                              .paint = paint_slopes,
                              .exif = exif,
                              .exif_size = fixture_exif_build(&facts, exif)};
    struct photo photo = {0};
    struct photo_time taken;

    fixture_jpeg(fixture_path("timed.jpg"), &fixture);
    photo = read_photo(fixture_path("timed.jpg"), 0);
    taken = photo.taken;
    photo_release(&photo);
    return taken;
}

/* Source of the seconds: `date -u -d '2026-03-14 14:09:26' +%s`. */
static void an_exif_time_with_its_offset_is_an_instant(void **state)
{
    struct photo_time taken = time_read("2026:03:14 15:09:26", "+01:00");

    (void)state;
    assert_int_equal(taken.source, PHOTO_TIME_EXIF);
    assert_true(taken.offset_known);
    assert_int_equal(taken.offset_minutes, 60);
    assert_int_equal(taken.utc_seconds, 1773497366);
    taken = time_read("2026:03:14 15:09:26", "-03:30");
    assert_int_equal(taken.offset_minutes, -210);
    assert_int_equal(taken.utc_seconds, 1773497366 + 3600 + 210 * 60);
}

static void an_exif_time_without_offset_takes_the_machines_zone(void **state)
{
    struct photo_time taken;

    (void)state;
    setenv("TZ", "XST-5:30", 1);
    tzset();
    taken = time_read("2026:03:14 15:09:26", NULL);
    unsetenv("TZ");
    tzset();
    assert_int_equal(taken.source, PHOTO_TIME_EXIF);
    assert_false(taken.offset_known);
    assert_int_equal(taken.offset_minutes, 330);
    assert_int_equal(taken.utc_seconds, 1773497366 + 3600 - 330 * 60);
}

static void a_photo_without_a_sound_exif_time_takes_its_files(void **state)
{
    const char *unsound[] = {NULL,
                             "0000:00:00 00:00:00",
                             "2026:13:14 15:09:26",
                             "    :  :   :  : ",
                             "2025:02:29 12:00:00",
                             "9999:12:31 23:59:59"};

    (void)state;
    for (int i = 0; i < 6; i++) {
        struct photo_time taken = time_read(unsound[i], "+01:00");
        struct stat facts;

        assert_int_equal(stat(fixture_path("timed.jpg"), &facts), 0);
        assert_int_equal(taken.source, PHOTO_TIME_FILE);
        assert_false(taken.offset_known);
        assert_int_equal(taken.utc_seconds, facts.st_mtime);
    }
}

static void a_photo_whose_every_time_is_to_come_has_none(void **state)
{
    struct fixture fixture = {.width_px = WIDTH, .height_px = HEIGHT, .paint = paint_slopes};
    const struct timespec ahead[2] = {{15000000000, 0}, {15000000000, 0}}; /* the year 2445 */
    const char *path = fixture_path("ahead.jpg");
    struct photo photo;

    (void)state;
    fixture_jpeg(path, &fixture);
    photo = read_photo(path, 0);
    assert_false(photo.traces.time_to_come);
    photo_release(&photo);
    assert_int_equal(utimensat(AT_FDCWD, path, ahead, 0), 0);
    photo = read_photo(path, 0);
    assert_int_equal(photo.taken.source, PHOTO_TIME_NONE);
    assert_true(photo.traces.time_to_come);
    photo_release(&photo);
}

/* --- traces --- */

/* Source of the steps: ITU-T T.81, tables K.1 and K.2, which libjpeg scales by 2 at quality 25: of
 * 16, 11, 10, 12, 12, 14 the coarsest is 16; of 17, 18, 24, 18, 21, 24 it is 24. */
static void a_jpegs_coarsest_low_steps_are_told(void **state)
{
    struct fixture fixture = {
        .width_px = WIDTH, .height_px = HEIGHT, .paint = paint_slopes, .quality = 25};
    struct photo photo;

    (void)state;
    fixture_jpeg(fixture_path("coarse.jpg"), &fixture);
    photo = read_photo(fixture_path("coarse.jpg"), 0);
    assert_int_equal(photo.traces.luma_step, 32);
    assert_int_equal(photo.traces.luma_step_slow, 32);
    assert_int_equal(photo.traces.chroma_step, 34);
    assert_int_equal(photo.traces.chroma_step_slow, 48);
    photo_release(&photo);
    fixture_png(fixture_path("stepless.png"), &fixture);
    photo = read_photo(fixture_path("stepless.png"), 0);
    assert_int_equal(photo.traces.luma_step, 0);
    photo_release(&photo);
}

static void a_photo_tells_whether_it_has_exif_and_who_wrote_it(void **state)
{
    unsigned char exif[FIXTURE_EXIF_BYTES];
    struct fixture_exif facts = {.orientation = 1, .software = "Plot Editor 3"};
    struct fixture fixture = {.width_px = WIDTH, .height_px = HEIGHT, .paint = paint_slopes};
    struct photo photo;

    (void)state;
    fixture_jpeg(fixture_path("bare.jpg"), &fixture);
    photo = read_photo(fixture_path("bare.jpg"), 0);
    assert_true(photo.traces.exif_missing);
    assert_string_equal(photo.traces.software, "");
    photo_release(&photo);
    fixture.exif_size = fixture_exif_build(&facts, exif);
    fixture.exif = exif;
    fixture_jpeg(fixture_path("edited.jpg"), &fixture);
    photo = read_photo(fixture_path("edited.jpg"), 0);
    assert_false(photo.traces.exif_missing);
    assert_string_equal(photo.traces.software, "Plot Editor 3");
    photo_release(&photo);
}

/* Source of the name: ISO 21496-1:2025, Annex on JPEG; from memory. */
static void a_map_that_would_brighten_the_picture_is_told_and_left_alone(void **state)
{
    struct fixture fixture = {.width_px = WIDTH,
                              .height_px = HEIGHT,
                              .paint = paint_slopes,
                              .marker = "urn:iso:std:iso:ts:21496:-1"};
    struct photo photo;

    (void)state;
    fixture_jpeg(fixture_path("mapped.jpg"), &fixture);
    photo = read_photo(fixture_path("mapped.jpg"), 0);
    assert_true(photo.traces.gain_map);
    photo_release(&photo);
    check_upright(fixture_path("mapped.jpg"), JPEG_TOLERANCE);
    fixture.marker = NULL;
    fixture_jpeg(fixture_path("mapped.jpg"), &fixture);
    photo = read_photo(fixture_path("mapped.jpg"), 0);
    assert_false(photo.traces.gain_map);
    photo_release(&photo);
}

static void a_png_coded_for_high_dynamic_range_is_refused_with_the_reason(void **state)
{
    unsigned char exif[FIXTURE_EXIF_BYTES];
    struct fixture_exif facts = {.orientation = 1};
    struct fixture fixture = {.width_px = WIDTH, .height_px = HEIGHT, .paint = paint_slopes};
    struct photo photo;
    struct error error;

    (void)state;
    fixture.exif_size = fixture_exif_build(&facts, exif);
    fixture.exif = exif;
    for (int code = 16; code <= 18; code += 2) {
        fixture.transfer = code;
        fixture_png(fixture_path("bright.png"), &fixture);
        assert_int_equal(photo_read(fixture_path("bright.png"), 0, &photo, &error), STATUS_FORMAT);
        assert_non_null(strstr(error.message, code == 16 ? "(PQ)" : "(HLG)"));
    }
    fixture.transfer = 13; /* sRGB's own curve */
    fixture_png(fixture_path("plain.png"), &fixture);
    photo = read_photo(fixture_path("plain.png"), 0);
    assert_false(photo.traces.exif_missing);
    photo_release(&photo);
}

/* --- hash --- */

static void equal_files_have_equal_hashes(void **state)
{
    struct fixture fixture = {.width_px = WIDTH, .height_px = HEIGHT, .paint = paint_slopes};
    struct photo one, same, other;
    XXH128_canonical_t canonical;
    char wanted[33];
    size_t size;
    unsigned char *bytes;

    (void)state;
    fixture_jpeg(fixture_path("one.jpg"), &fixture);
    fixture_jpeg(fixture_path("same.jpg"), &fixture);
    fixture.paint = paint_waves;
    fixture_jpeg(fixture_path("other.jpg"), &fixture);
    one = read_photo(fixture_path("one.jpg"), 0);
    same = read_photo(fixture_path("same.jpg"), 0);
    other = read_photo(fixture_path("other.jpg"), 0);
    assert_string_equal(one.hash, same.hash);
    assert_string_not_equal(one.hash, other.hash);
    bytes = fixture_load(fixture_path("one.jpg"), &size);
    XXH128_canonicalFromHash(&canonical, XXH3_128bits(bytes, size));
    for (size_t i = 0; i < 16; i++)
        snprintf(wanted + 2 * i, 3, "%02x", canonical.digest[i]);
    assert_string_equal(one.hash, wanted);
    free(bytes);
    photo_release(&one);
    photo_release(&same);
    photo_release(&other);
}

/* --- writing --- */

static void check_written(const char *name, int tolerance)
{
    struct image image = {0};
    struct error error = {0};
    struct photo photo = {0};

    assert_int_equal(image_create(WIDTH, HEIGHT, &image, &error), STATUS_OK);
    for (int y = 0; y < HEIGHT; y++)
        for (int x = 0; x < WIDTH; x++) {
            uint16_t sample[4];

            paint_slopes(x, y, sample);
            memcpy(image_at(&image, x, y), sample, 3 * sizeof *sample);
        }
    assert_int_equal(photo_write_srgb(fixture_path(name), &image, &error), STATUS_OK);
    assert_int_equal(photo_read(fixture_path(name), 0, &photo, &error), STATUS_FORMAT);
    assert_non_null(strstr(error.message, "a picture that woad made"));
    assert_int_equal(photo_write_srgb(fixture_path(name), &image, &error), STATUS_OK);
    fixture_unmark(fixture_path(name));
    photo = read_photo(fixture_path(name), 0);
    assert_false(photo.profile_assumed);
    assert_non_null(strstr(photo.profile_name, "sRGB"));
    assert_in_range(largest_difference(&photo.image, paint_slopes), 0, tolerance);
    photo_release(&photo);
    image_release(&image);
}

static void a_picture_written_reads_back_tagged_srgb(void **state)
{
    (void)state;
    check_written("written.png", 0);
    check_written("written.jpg", JPEG_TOLERANCE);
    check_written("written.JPEG", JPEG_TOLERANCE);
}

static void a_picture_is_written_whole_or_not_at_all(void **state)
{
    struct image image = {0};
    struct error error = {0};

    (void)state;
    assert_int_equal(image_create(WIDTH, HEIGHT, &image, &error), STATUS_OK);
    assert_int_equal(photo_write_srgb(fixture_path("picture.tiff"), &image, &error), STATUS_USAGE);
    assert_int_equal(photo_write_srgb(fixture_path("no/such/folder.png"), &image, &error),
                     STATUS_FILE);
    assert_non_null(strstr(error.message, "no/such/folder.png"));
    assert_int_equal(mkdir(fixture_path(".taken.png"), 0700), 0);
    assert_int_equal(photo_write_srgb(fixture_path(".taken.png"), &image, &error), STATUS_FILE);
    assert_int_equal(rmdir(fixture_path(".taken.png")), 0);
    image_release(&image);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(all_eight_orientations_give_the_same_upright_photo),
        cmocka_unit_test(an_orientation_out_of_range_is_taken_as_upright),
        cmocka_unit_test(an_orientation_in_four_bytes_is_understood),
        cmocka_unit_test(an_exif_thumbnail_and_its_orientation_are_passed_by),
        cmocka_unit_test(a_picture_behind_the_photo_is_passed_by),
        cmocka_unit_test(a_16_bit_png_keeps_its_16_bits),
        cmocka_unit_test(an_8_bit_png_is_widened_times_257),
        cmocka_unit_test(a_palette_png_is_read_in_its_colours),
        cmocka_unit_test(a_large_png_is_averaged_down),
        cmocka_unit_test(scaled_decoding_of_jpeg_agrees_with_averaging),
        cmocka_unit_test(a_jpeg_is_averaged_further_where_an_eighth_is_too_large),
        cmocka_unit_test(a_progressive_jpeg_reads_as_a_baseline_one),
        cmocka_unit_test(the_kind_of_a_photo_is_told_by_its_content),
        cmocka_unit_test(an_exif_time_with_its_offset_is_an_instant),
        cmocka_unit_test(an_exif_time_without_offset_takes_the_machines_zone),
        cmocka_unit_test(a_photo_without_a_sound_exif_time_takes_its_files),
        cmocka_unit_test(a_photo_whose_every_time_is_to_come_has_none),
        cmocka_unit_test(a_jpegs_coarsest_low_steps_are_told),
        cmocka_unit_test(a_photo_tells_whether_it_has_exif_and_who_wrote_it),
        cmocka_unit_test(a_map_that_would_brighten_the_picture_is_told_and_left_alone),
        cmocka_unit_test(a_png_coded_for_high_dynamic_range_is_refused_with_the_reason),
        cmocka_unit_test(equal_files_have_equal_hashes),
        cmocka_unit_test(a_picture_written_reads_back_tagged_srgb),
        cmocka_unit_test(a_picture_is_written_whole_or_not_at_all),
    };

    return cmocka_run_group_tests_name("photo", tests, fixture_setup, fixture_teardown);
}
