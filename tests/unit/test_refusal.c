/* What photo_read refuses, and what it says: the file, what was seen, what was wanted and what to
 * do about it. */

#include "fixture.h"

#include "files/photo.h"

#include <sys/stat.h>

static void paint(int x, int y, uint16_t sample[4])
{
    sample[0] = (uint16_t)(x * 523);
    sample[1] = (uint16_t)(y * 611);
    sample[2] = (uint16_t)(x * y * 7);
    sample[3] = 65535;
}

static void paint_see_through(int x, int y, uint16_t sample[4])
{
    paint(x, y, sample);
    sample[3] = x == 77 && y == 60 ? 65000 : 65535;
}

static const struct fixture plain = {.width_px = 160, .height_px = 120, .paint = paint};

static void check_refused(const char *path, enum status wanted, const char *seen)
{
    struct photo photo;
    struct error error = {0};
    enum status status = photo_read(path, PHOTO_WORKING_PIXELS_MAX, &photo, &error);

    if (status != wanted || !strstr(error.message, seen))
        fail_msg("wanted %d with '%s', got %d: %s", (int)wanted, seen, (int)status, error.message);
    assert_ptr_equal(strstr(error.message, path), error.message);
    assert_null(photo.image.samples);
    assert_null(photo.linear_from_sample);
}

static void a_missing_file_a_folder_and_a_pipe_are_refused(void **state)
{
    (void)state;
    check_refused(fixture_path("nothing.jpg"), STATUS_FILE, "check the path");
    check_refused(fixture_folder, STATUS_FILE, "is a folder");
    assert_int_equal(mkfifo(fixture_path("pipe.jpg"), 0600), 0);
    check_refused(fixture_path("pipe.jpg"), STATUS_FILE, "pipe");
}

static void an_unreadable_file_is_refused(void **state)
{
    (void)state;
    if (geteuid() == 0)
        skip();
    fixture_jpeg(fixture_path("locked.jpg"), &plain);
    assert_int_equal(chmod(fixture_path("locked.jpg"), 0), 0);
    check_refused(fixture_path("locked.jpg"), STATUS_FILE, "permissions");
}

static void a_path_too_long_is_refused(void **state)
{
    char path[2000];
    struct photo photo;
    struct error error = {0};

    (void)state;
    memset(path, 'a', sizeof path);
    path[sizeof path - 1] = '\0';
    assert_int_equal(photo_read(path, 0, &photo, &error), STATUS_FILE);
}

static void an_empty_file_and_a_text_are_refused(void **state)
{
    (void)state;
    fixture_bytes(fixture_path("empty.jpg"), "", 0);
    check_refused(fixture_path("empty.jpg"), STATUS_FILE, "is empty");
    fixture_bytes(fixture_path("text.jpg"), "Beetroot 12, Juniper 1\n", 23);
    check_refused(fixture_path("text.jpg"), STATUS_FORMAT, "is a text file; a JPEG, PNG");
    fixture_bytes(fixture_path("one.png"), "\x89", 1);
    check_refused(fixture_path("one.png"), STATUS_FORMAT, "no picture format");
}

/* Sources of the first bytes: ISO/IEC 23008-12 and 14496-12 (ftyp), RFC 9649, GIF89a. */
static void other_picture_formats_are_named_with_what_to_do(void **state)
{
    static const struct {
        const char bytes[17];
        const char *words;
    } kinds[] = {
        {"\0\0\0\x1c"
         "ftypavif\0\0\0\0",
         "an AVIF picture"},
        {"RIFF\x10\x20\0\0WEBPVP8 ", "a WebP picture"},
        {"GIF89a\x10\0\x10\0\0\0\0\0\0\0", "a GIF picture"},
    };

    (void)state;
    for (size_t i = 0; i < sizeof kinds / sizeof *kinds; i++) {
        fixture_bytes(fixture_path("other.jpg"), kinds[i].bytes, 16);
        check_refused(fixture_path("other.jpg"), STATUS_FORMAT, kinds[i].words);
        check_refused(fixture_path("other.jpg"), STATUS_FORMAT, "save or export it as JPEG or PNG");
    }
}

static void a_jpeg_cut_short_is_refused(void **state)
{
    const char *path = fixture_path("whole.jpg");
    const char *cut = fixture_path("cut.jpg");
    struct fixture progressive = plain;

    (void)state;
    progressive.progressive = true;
    for (int i = 0; i < 2; i++) {
        fixture_jpeg(path, i ? &progressive : &plain);
        fixture_cut(path, cut, 0.5);
        check_refused(cut, STATUS_FORMAT, "is cut short");
        fixture_cut(path, cut, 0.9995);
        check_refused(cut, STATUS_FORMAT, "is cut short");
        fixture_cut(path, cut, 0.01);
        check_refused(cut, STATUS_FORMAT, "is cut short");
    }
}

/* Overwrite the middle of a file with bytes. */
static void damage(const char *from, const char *to, const char *with, size_t length)
{
    size_t size;
    unsigned char *bytes = fixture_load(from, &size);

    memcpy(bytes + size / 2, with, length);
    fixture_bytes(to, bytes, size);
    free(bytes);
}

static void a_damaged_picture_is_refused_not_filled_with_grey(void **state)
{
    (void)state;
    fixture_jpeg(fixture_path("whole.jpg"), &plain);
    damage(fixture_path("whole.jpg"), fixture_path("damaged.jpg"), "\xff\xd9\xff\xd9", 4);
    check_refused(fixture_path("damaged.jpg"), STATUS_FORMAT, "is damaged");
    damage(fixture_path("whole.jpg"), fixture_path("damaged.jpg"), "\xff\xff\xff\xc4\0\3\1", 7);
    check_refused(fixture_path("damaged.jpg"), STATUS_FORMAT, "is damaged");
    fixture_png(fixture_path("whole.png"), &plain);
    damage(fixture_path("whole.png"), fixture_path("damaged.png"), "damaged!", 8);
    check_refused(fixture_path("damaged.png"), STATUS_FORMAT, "is damaged");
}

static void a_png_cut_short_is_refused(void **state)
{
    const char *path = fixture_path("whole.png");
    const char *cut = fixture_path("cut.png");
    struct fixture interlaced = plain;

    (void)state;
    interlaced.interlaced = true;
    for (int i = 0; i < 2; i++) {
        fixture_png(path, i ? &interlaced : &plain);
        fixture_cut(path, cut, 0.5);
        check_refused(cut, STATUS_FORMAT, "is cut short");
        fixture_cut(path, cut, 0.99);
        check_refused(cut, STATUS_FORMAT, "is cut short");
        fixture_bytes(cut, "\x89PNG\r\n\x1a\n\0\0\0\x0dIH", 14);
        check_refused(cut, STATUS_FORMAT, "is cut short");
    }
}

static void pictures_without_rgb_colours_are_refused(void **state)
{
    struct fixture fixture = plain;

    (void)state;
    fixture.colours = FIXTURE_CMYK;
    fixture_jpeg(fixture_path("print.jpg"), &fixture);
    check_refused(fixture_path("print.jpg"), STATUS_FORMAT, "is a CMYK picture");
    fixture.colours = FIXTURE_GREY;
    fixture_jpeg(fixture_path("grey.jpg"), &fixture);
    check_refused(fixture_path("grey.jpg"), STATUS_FORMAT, "is a greyscale picture");
    fixture_png(fixture_path("grey.png"), &fixture);
    check_refused(fixture_path("grey.png"), STATUS_FORMAT, "is a greyscale picture");
}

static void one_see_through_pixel_is_refused(void **state)
{
    struct fixture fixture = plain;

    (void)state;
    fixture.colours = FIXTURE_RGBA;
    fixture.paint = paint_see_through;
    fixture_png(fixture_path("glass.png"), &fixture);
    check_refused(fixture_path("glass.png"), STATUS_FORMAT, "see-through");
}

static void sizes_out_of_range_are_refused_with_the_limit(void **state)
{
    struct fixture fixture = plain;

    (void)state;
    fixture.width_px = fixture.height_px = 1;
    fixture_jpeg(fixture_path("dot.jpg"), &fixture);
    check_refused(fixture_path("dot.jpg"), STATUS_FORMAT, "has 1 x 1 pixels; at least 64");
    fixture_png(fixture_path("dot.png"), &fixture);
    check_refused(fixture_path("dot.png"), STATUS_FORMAT, "has 1 x 1 pixels; at least 64");
    fixture.width_px = 60000;
    fixture.height_px = 64;
    fixture_jpeg(fixture_path("wide.jpg"), &fixture);
    check_refused(fixture_path("wide.jpg"), STATUS_FORMAT, "60000 x 64 pixels; at most 30000");
    fixture_png(fixture_path("wide.png"), &fixture);
    check_refused(fixture_path("wide.png"), STATUS_FORMAT, "60000 x 64 pixels; at most 30000");
    fixture.width_px = 2000000;
    fixture.height_px = 1;
    fixture_png(fixture_path("wide.png"), &fixture);
    check_refused(fixture_path("wide.png"), STATUS_FORMAT, "2000000 x 1 pixels");
}

/* Change the size a JPEG states, and leave all else. */
static void restate_jpeg(const char *from, const char *to, int width_px, int height_px)
{
    size_t size;
    unsigned char *bytes = fixture_load(from, &size);
    size_t at = 2;

    while (bytes[at + 1] < 0xC0 || bytes[at + 1] > 0xC2)
        at += 2 + (size_t)(bytes[at + 2] << 8 | bytes[at + 3]);
    bytes[at + 5] = (unsigned char)(height_px >> 8);
    bytes[at + 6] = (unsigned char)height_px;
    bytes[at + 7] = (unsigned char)(width_px >> 8);
    bytes[at + 8] = (unsigned char)width_px;
    fixture_bytes(to, bytes, size);
    free(bytes);
}

/* Source: PNG specification, annex D (the check sum of ISO 3309). */
static unsigned long check_sum(const unsigned char *bytes, size_t size)
{
    unsigned long sum = 0xffffffffUL;

    for (size_t i = 0; i < size; i++) {
        sum ^= bytes[i];
        for (int k = 0; k < 8; k++)
            sum = sum & 1 ? 0xedb88320UL ^ (sum >> 1) : sum >> 1;
    }
    return sum ^ 0xffffffffUL;
}

static void restate_png(const char *from, const char *to, unsigned width_px, unsigned height_px)
{
    size_t size;
    unsigned char *bytes = fixture_load(from, &size);

    png_save_uint_32(bytes + 16, width_px);
    png_save_uint_32(bytes + 20, height_px);
    png_save_uint_32(bytes + 29, (png_uint_32)check_sum(bytes + 12, 17));
    fixture_bytes(to, bytes, size);
    free(bytes);
}

static void pictures_that_would_take_too_much_memory_are_refused(void **state)
{
    struct fixture fixture = plain;

    (void)state;
    fixture.progressive = true;
    fixture_jpeg(fixture_path("small.jpg"), &fixture);
    restate_jpeg(fixture_path("small.jpg"), fixture_path("huge.jpg"), 20000, 6000);
    check_refused(fixture_path("huge.jpg"), STATUS_FORMAT, "at most 384 MB are used");
    restate_jpeg(fixture_path("small.jpg"), fixture_path("huge.jpg"), 20000, 6001);
    check_refused(fixture_path("huge.jpg"), STATUS_FORMAT, "120 million");
    fixture.interlaced = true;
    fixture_png(fixture_path("small.png"), &fixture);
    restate_png(fixture_path("small.png"), fixture_path("huge.png"), 20000, 6000);
    check_refused(fixture_path("huge.png"), STATUS_FORMAT, "at most 384 MB are used");
}

static void a_jpeg_of_endless_scans_is_refused(void **state)
{
    struct fixture fixture = plain;

    (void)state;
    fixture.many_scans = true;
    fixture_jpeg(fixture_path("scans.jpg"), &fixture);
    check_refused(fixture_path("scans.jpg"), STATUS_FORMAT, "more than 100 passes");
}

static void a_file_too_large_is_refused_unread(void **state)
{
    (void)state;
    fixture_bytes(fixture_path("large.jpg"), "\xff\xd8\xff", 3);
    assert_int_equal(truncate(fixture_path("large.jpg"), 257L * 1024 * 1024), 0);
    check_refused(fixture_path("large.jpg"), STATUS_FORMAT, "has 257 MB; at most 256");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_missing_file_a_folder_and_a_pipe_are_refused),
        cmocka_unit_test(an_unreadable_file_is_refused),
        cmocka_unit_test(a_path_too_long_is_refused),
        cmocka_unit_test(an_empty_file_and_a_text_are_refused),
        cmocka_unit_test(other_picture_formats_are_named_with_what_to_do),
        cmocka_unit_test(a_jpeg_cut_short_is_refused),
        cmocka_unit_test(a_damaged_picture_is_refused_not_filled_with_grey),
        cmocka_unit_test(a_png_cut_short_is_refused),
        cmocka_unit_test(pictures_without_rgb_colours_are_refused),
        cmocka_unit_test(one_see_through_pixel_is_refused),
        cmocka_unit_test(sizes_out_of_range_are_refused_with_the_limit),
        cmocka_unit_test(pictures_that_would_take_too_much_memory_are_refused),
        cmocka_unit_test(a_jpeg_of_endless_scans_is_refused),
        cmocka_unit_test(a_file_too_large_is_refused_unread),
    };

    return cmocka_run_group_tests_name("refusal", tests, fixture_setup, fixture_teardown);
}
