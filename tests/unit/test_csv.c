/* CSV fields: whatever stands in one is written so that no spreadsheet runs it, and reads back. */

#include "fixture.h"

#include "files/csv.h"

#include <fcntl.h>
#include <sys/stat.h>

static const struct {
    const char *text;
    const char *written;
} fields[] = {
    {"Wet Slate", "Wet Slate"},
    {"", ""},
    {"=1+1", "'=1+1"},
    {"=HYPERLINK(\"http://a\",\"b\")", "\"'=HYPERLINK(\"\"http://a\"\",\"\"b\"\")\""},
    {"@SUM(A1)", "'@SUM(A1)"},
    {"+cmd|' /C calc'!A0", "'+cmd|' /C calc'!A0"},
    {"+1+cmd|'x'!A0", "'+1+cmd|'x'!A0"},
    {"-Blue", "'-Blue"},
    {"-12.5", "-12.5"},
    {"+3", "+3"},
    {"'=1+1", "''=1+1"},
    {"'quoted'", "'quoted'"},
    {"a=b", "a=b"},
    {"a;b", "\"a;b\""},
    {" at both ends ", "\" at both ends \""},
    {"two\nlines", "\"two\nlines\""},
};

#define FIELDS (sizeof fields / sizeof *fields)

static void a_field_that_a_spreadsheet_would_run_is_disarmed(void **state)
{
    (void)state;
    for (size_t i = 0; i < FIELDS; i++) {
        char *written = NULL;
        size_t size = 0;
        FILE *out = open_memstream(&written, &size);

        csv_put(fields[i].text, false, out);
        fclose(out);
        assert_string_equal(written, fields[i].written);
        free(written);
    }
}

static void every_field_reads_back_as_it_was(void **state)
{
    const struct csv_source source = {fixture_path("fields.csv"), "test file", 10000};
    FILE *out = fopen(source.path, "w");
    struct csv csv;
    struct error error;

    (void)state;
    for (size_t i = 0; i < FIELDS; i++) {
        csv_put(fields[i].text, false, out);
        fputs(",behind\n", out);
    }
    fclose(out);
    assert_int_equal(csv_read(&source, &csv, &error), STATUS_OK);
    assert_int_equal(csv.line_count, FIELDS);
    for (size_t i = 0; i < FIELDS; i++)
        assert_string_equal(csv_field(&csv, i + 1, 1), fields[i].text);
    csv_release(&csv);
}

#define LONG_LINES 9000

struct lines_seen {
    size_t count;
    size_t wrong;
};

static enum status see_line(void *context, struct csv *csv, size_t line, struct error *error)
{
    struct lines_seen *seen = context;
    char wanted[32];

    (void)error;
    snprintf(wanted, sizeof wanted, line == 1 ? "ink, or what" : "row %zu\nof many, \"so\"", line);
    seen->count++;
    seen->wrong += seen->count != line || strcmp(csv_field(csv, csv->line_count, 1), wanted) != 0 ||
                   strcmp(csv_field(csv, 1, 2), "note") != 0 || csv_width(csv, 1) != 2 ||
                   csv_width(csv, csv->line_count) != 2;
    return STATUS_OK;
}

/* long enough that it is read in several parts, which part lines and quotation marks anywhere */
static void a_long_file_read_line_by_line_gives_each_line_once_and_keeps_the_first(void **state)
{
    const struct csv_source source = {fixture_path("long.csv"), "test file", 10000000};
    struct lines_seen seen = {0, 0};
    const struct csv_taker taker = {see_line, &seen};
    FILE *out = fopen(source.path, "w");
    struct error error;

    (void)state;
    fputs("\"ink, or what\",note\n", out);
    for (int line = 2; line <= LONG_LINES; line++)
        fprintf(out, "\"row %d\nof many, \"\"so\"\"\",%d%s", line, line,
                line < LONG_LINES ? "\n" : "");
    fclose(out);
    assert_int_equal(csv_each(&source, &taker, &error), STATUS_OK);
    assert_int_equal(seen.count, LONG_LINES);
    assert_int_equal(seen.wrong, 0);
}

static void a_pipe_without_a_writer_is_not_waited_for(void **state)
{
    const struct csv_source source = {fixture_path("pipe.csv"), "test file", 10000};
    struct csv csv;
    struct error error;

    (void)state;
    assert_int_equal(mkfifo(source.path, 0600), 0);
    alarm(20); /* ends the test where it waits for ever */
    assert_int_equal(csv_read(&source, &csv, &error), STATUS_OK);
    alarm(0);
    assert_int_equal(csv.line_count, 0);
    csv_release(&csv);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_field_that_a_spreadsheet_would_run_is_disarmed),
        cmocka_unit_test(every_field_reads_back_as_it_was),
        cmocka_unit_test(a_long_file_read_line_by_line_gives_each_line_once_and_keeps_the_first),
        cmocka_unit_test(a_pipe_without_a_writer_is_not_waited_for),
    };

    return cmocka_run_group_tests_name("CSV", tests, fixture_setup, fixture_teardown);
}
