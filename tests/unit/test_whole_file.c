/* What woad writes stands whole, and takes the place of nothing but its own. */

#include "fixture.h"

#include "files/mark.h"
#include "files/whole_file.h"

#include <fcntl.h>
#include <sys/stat.h>

static enum status write_text(const char *path, const struct whole_file_kind *kind,
                              const char *text, struct error *error)
{
    struct whole_file file;
    enum status status = whole_file_begin(path, kind, &file, error);

    if (status)
        return status;
    fputs(text, file.stream);
    return whole_file_end(&file, STATUS_OK, error);
}

static void check_content(const char *path, const char *wanted)
{
    size_t size;
    unsigned char *bytes = fixture_load(path, &size);

    assert_int_equal(size, strlen(wanted));
    assert_memory_equal(bytes, wanted, size);
    free(bytes);
}

static void check_refused(const char *path, const struct whole_file_kind *kind, const char *seen)
{
    struct error error = {0};

    assert_int_equal(write_text(path, kind, "new", &error), STATUS_FILE);
    if (!strstr(error.message, seen) || strstr(error.message, path) != error.message)
        fail_msg("wanted '%s', got: %s", seen, error.message);
}

static void a_drawing_may_be_renewed_and_bears_the_mark(void **state)
{
    const char *path = fixture_path("plot.svg");
    struct error error;

    (void)state;
    assert_int_equal(write_text(path, &whole_file_svg, "<svg/>\n", &error), STATUS_OK);
    check_content(path, "<svg/>\n<!-- made by woad -->\n");
    assert_int_equal(write_text(path, &whole_file_svg, "<svg>again</svg>\n", &error), STATUS_OK);
    check_content(path, "<svg>again</svg>\n<!-- made by woad -->\n");
}

static void what_woad_did_not_make_stays(void **state)
{
    (void)state;
    fixture_bytes(fixture_path("mine.svg"), "<svg/>", 6);
    check_refused(fixture_path("mine.svg"), &whole_file_svg, "nothing that woad made");
    check_content(fixture_path("mine.svg"), "<svg/>");
    fixture_bytes(fixture_path("mine.icc"), "acsp", 4);
    check_refused(fixture_path("mine.icc"), &whole_file_icc, "nothing that woad made");
}

static void an_empty_file_holds_nothing_to_lose(void **state)
{
    const char *path = fixture_path("empty.svg");
    struct error error;

    (void)state;
    fixture_bytes(path, "", 0);
    assert_int_equal(write_text(path, &whole_file_svg, "<svg/>\n", &error), STATUS_OK);
}

static void a_database_stays_even_if_it_bears_the_mark(void **state)
{
    static const char database[] = "SQLite format 3\0 made by woad";

    (void)state;
    fixture_bytes(fixture_path("range.png"), database, sizeof database);
    check_refused(fixture_path("range.png"), &whole_file_png, "is an inventory");
}

static void a_csv_file_that_is_there_stays(void **state)
{
    const char *path = fixture_path("sheet.csv");
    struct error error;

    (void)state;
    assert_int_equal(write_text(path, &whole_file_csv, "Wet Slate\n", &error), STATUS_OK);
    check_content(path, "Wet Slate\n");
    check_refused(path, &whole_file_csv, "someone's own work");
}

static void links_pipes_folders_and_devices_stay(void **state)
{
    struct stat facts;

    (void)state;
    fixture_bytes(fixture_path("target.svg"), "", 0);
    assert_int_equal(symlink("target.svg", fixture_path("link.svg")), 0);
    check_refused(fixture_path("link.svg"), &whole_file_svg, "symbolic link");
    assert_int_equal(mkfifo(fixture_path("pipe.svg"), 0600), 0);
    check_refused(fixture_path("pipe.svg"), &whole_file_svg, "device or pipe");
    assert_int_equal(lstat(fixture_path("pipe.svg"), &facts), 0);
    assert_true(S_ISFIFO(facts.st_mode));
    assert_int_equal(mkdir(fixture_path(".folder.svg"), 0700), 0);
    check_refused(fixture_path(".folder.svg"), &whole_file_svg, "is a folder");
    assert_int_equal(rmdir(fixture_path(".folder.svg")), 0);
}

static void a_name_ends_as_its_content_does(void **state)
{
    struct error error;

    (void)state;
    assert_int_equal(write_text(fixture_path("photo.jpg"), &whole_file_png, "", &error),
                     STATUS_USAGE);
    assert_non_null(strstr(error.message, "end the name in .png"));
    assert_int_equal(write_text(fixture_path(".png"), &whole_file_png, "", &error), STATUS_USAGE);
    assert_int_equal(write_text(fixture_path("loud.SVG"), &whole_file_svg, "", &error), STATUS_OK);
}

static void two_files_of_one_run_need_two_names(void **state)
{
    char other[1100];
    const struct whole_file_plan same[] = {{fixture_path("a.png"), &whole_file_png},
                                           {NULL, &whole_file_icc},
                                           {other, &whole_file_jpeg_or_png}};
    struct error error;

    (void)state;
    snprintf(other, sizeof other, "%s/./a.png", fixture_folder);
    assert_int_equal(whole_file_check(same, 3, &error), STATUS_USAGE);
    assert_non_null(strstr(error.message, "two files"));
    assert_int_equal(whole_file_check(same, 2, &error), STATUS_OK);
}

static void a_failed_file_leaves_nothing_behind(void **state)
{
    struct whole_file file;
    struct error error;
    const char *path = fixture_path("failed.svg");
    char temporary[1100];

    (void)state;
    assert_int_equal(whole_file_begin(path, &whole_file_svg, &file, &error), STATUS_OK);
    snprintf(temporary, sizeof temporary, "%s", file.temporary);
    assert_int_equal(whole_file_end(&file, STATUS_MEMORY, &error), STATUS_MEMORY);
    assert_int_equal(access(path, F_OK), -1);
    assert_int_equal(access(temporary, F_OK), -1);
}

/* Read by libpng, which checks the chunk's sum. */
static void the_marks_chunk_is_a_png_text(void **state)
{
    const char *path = fixture_path("chunk.png");
    FILE *file = fopen(path, "wb");
    png_structp png = png_create_write_struct(PNG_LIBPNG_VER_STRING, NULL, NULL, NULL);
    png_infop info = png_create_info_struct(png);
    png_byte line[24] = {0};
    png_textp text;
    int count = 0;

    (void)state;
    assert_non_null(file);
    png_init_io(png, file);
    png_set_IHDR(png, info, 8, 1, 8, PNG_COLOR_TYPE_RGB, PNG_INTERLACE_NONE,
                 PNG_COMPRESSION_TYPE_DEFAULT, PNG_FILTER_TYPE_DEFAULT);
    png_write_info(png, info);
    fflush(file);
    assert_int_equal(ftell(file), MARK_PNG_AT);
    fwrite(mark_png, 1, MARK_PNG_BYTES, file);
    png_write_row(png, line);
    png_write_end(png, NULL);
    png_destroy_write_struct(&png, &info);
    fclose(file);
    file = fopen(path, "rb");
    png = png_create_read_struct(PNG_LIBPNG_VER_STRING, NULL, NULL, NULL);
    info = png_create_info_struct(png);
    png_init_io(png, file);
    png_read_info(png, info);
    assert_int_equal(png_get_text(png, info, &text, &count), 1);
    assert_string_equal(text[0].key, "Software");
    assert_string_equal(text[0].text, MARK_TEXT);
    png_destroy_read_struct(&png, &info, NULL);
    fclose(file);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_drawing_may_be_renewed_and_bears_the_mark),
        cmocka_unit_test(what_woad_did_not_make_stays),
        cmocka_unit_test(an_empty_file_holds_nothing_to_lose),
        cmocka_unit_test(a_database_stays_even_if_it_bears_the_mark),
        cmocka_unit_test(a_csv_file_that_is_there_stays),
        cmocka_unit_test(links_pipes_folders_and_devices_stay),
        cmocka_unit_test(a_name_ends_as_its_content_does),
        cmocka_unit_test(two_files_of_one_run_need_two_names),
        cmocka_unit_test(a_failed_file_leaves_nothing_behind),
        cmocka_unit_test(the_marks_chunk_is_a_png_text),
    };

    return cmocka_run_group_tests_name("whole files", tests, fixture_setup, fixture_teardown);
}
