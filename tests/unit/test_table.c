#include "base/utf8.h"
#include "output/json.h"
#include "output/rows.h"
#include "output/table.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

static void add(struct table *table, const char *ink, double L, const char *flags)
{
    table_row(table);
    table_text(table, COLUMN("ink"), ink);
    table_number(table, COLUMN("L", .title = "L*", .decimals = 2), L);
    table_text(table, COLUMN("cell", .place = COLUMN_IN_TEXT), "B1");
    table_number(table, COLUMN("row", .place = COLUMN_IN_DATA), 2);
    table_words(table, COLUMN("flags"), flags);
}

static char *printed(const struct table *table, enum table_format format)
{
    char *text = NULL;
    size_t size = 0;
    FILE *out = open_memstream(&text, &size);
    struct error error;

    assert_int_equal(table_write(table, format, out, &error), STATUS_OK);
    fclose(out);
    return text;
}

static void expect_printed(struct table *table, enum table_format format, const char *expected)
{
    char *text = printed(table, format);

    assert_string_equal(text, expected);
    free(text);
}

static void a_table_is_aligned_by_what_the_eye_sees(void **state)
{
    struct table table = {0};

    (void)state;
    add(&table, "Gr\xC3\xBCn", 9.5, "");
    add(&table, "\xE5\xA2\xA8\xE6\xB0\xB4 ink", 41.25, "glare;small");
    add(&table, NULL, NAN, "");
    expect_printed(&table, TABLE_TEXT,
                   "ink          L*  cell  flags\n"
                   "Gr\xC3\xBCn       9.50  B1\n"
                   "\xE5\xA2\xA8\xE6\xB0\xB4 ink  41.25  B1    glare;small\n"
                   "-             -  B1\n");
    table_release(&table);
}

static void no_text_can_move_the_terminal(void **state)
{
    struct table table = {0};

    (void)state;
    table_row(&table);
    table_text(&table, COLUMN("ink"), "a\x1B[2J\xC2\x9Bz\xFF");
    expect_printed(&table, TABLE_TEXT, "ink\na\\x1B[2J\\u009Bz\\xFF\n");
    table_release(&table);
}

static void csv_quotes_only_what_needs_it(void **state)
{
    struct table table = {0};

    (void)state;
    add(&table, "Juniper 1", 41.256, "glare;small");
    add(&table, "Caf\xC3\xA9, \"strong\"", -0.001, "");
    add(&table, "two\nlines", INFINITY, "");
    expect_printed(&table, TABLE_CSV,
                   "ink,L,row,flags\n"
                   "Juniper 1,41.26,2,glare;small\n"
                   "\"Caf\xC3\xA9, \"\"strong\"\"\",0.00,2,\n"
                   "\"two\nlines\",,2,\n");
    table_release(&table);
}

static void json_keeps_kinds(void **state)
{
    struct table table = {0};

    (void)state;
    add(&table, "Wet \"Slate\"", 41.7, "glare;small");
    add(&table, "a\xFFz", NAN, "");
    expect_printed(&table, TABLE_JSON,
                   "[\n  {\n    \"ink\": \"Wet \\\"Slate\\\"\",\n    \"L\": 41.7,\n"
                   "    \"row\": 2,\n    \"flags\": [\n      \"glare\",\n      \"small\"\n    ]\n"
                   "  },\n  {\n    \"ink\": \"a\xEF\xBF\xBDz\",\n    \"L\": null,\n"
                   "    \"row\": 2,\n    \"flags\": []\n  }\n]\n");
    table_release(&table);
}

static void a_table_without_rows_is_its_header(void **state)
{
    struct table table = {0};

    (void)state;
    add(&table, NULL, NAN, NULL);
    table_keep_columns(&table);
    expect_printed(&table, TABLE_TEXT, "ink  L*  cell  flags\n");
    expect_printed(&table, TABLE_CSV, "ink,L,row,flags\n");
    expect_printed(&table, TABLE_JSON, "[]\n");
    add(&table, "Juniper 1", 41, "");
    expect_printed(&table, TABLE_CSV, "ink,L,row,flags\nJuniper 1,41.00,2,\n");
    table_release(&table);
}

static void terminals_count_columns_not_bytes(void **state)
{
    (void)state;
    assert_int_equal(utf8_columns("Gr\xC3\xBCn"), 4);
    assert_int_equal(utf8_columns("Gru\xCC\x88n"), 4);
    assert_int_equal(utf8_columns("\xE5\xA2\xA8"), 2);
    assert_int_equal(utf8_columns("\xF0\x9F\x8E\xA8"), 2);
    assert_false(utf8_is_valid("\xC0\x80"));
    assert_false(utf8_is_valid("\xED\xA0\x80"));
    assert_false(utf8_is_valid("\xF4\x90\x80\x80"));
    assert_false(utf8_is_valid("\xE5\xA2"));
    assert_true(utf8_is_valid("\xF4\x8F\xBF\xBF"));
}

/* --- the rows of a measurement -------------------------------------------------------------- */

static struct measured_chart two_cells(struct reading readings[2])
{
    struct measured_chart chart = {.pose = {.rows = 1, .columns = 2}, .readings = readings};

    readings[0] = (struct reading){.row = 1,
                                   .column = 1,
                                   .found = CELL_INK,
                                   .lab = {41.254, -3, 12.5},
                                   .u95 = 1.1,
                                   .unevenness = 0.4,
                                   .flags = FLAG_GLARE | FLAG_OUTSIDE};
    readings[1] = (struct reading){.row = 1, .column = 2, .found = CELL_UNREADABLE};
    return chart;
}

static void measure_has_its_csv_header(void **state)
{
    struct reading readings[2];
    struct measured_chart chart = two_cells(readings);
    struct table table = {0};
    struct error error;

    (void)state;
    assert_int_equal(rows_of_measurement("a,b.jpg", &chart, NULL, &table, &error), STATUS_OK);
    expect_printed(&table, TABLE_CSV,
                   "photo,row,column,ink,found,L,a,b,u95,unevenness,flags\n"
                   "\"a,b.jpg\",1,1,A1,ink,41.25,-3.00,12.50,1.10,0.40,glare;outside\n"
                   "\"a,b.jpg\",1,2,A2,unreadable,,,,,,\n");
    table_release(&table);
}

static void measure_says_in_json_where_everything_lies(void **state)
{
    struct reading readings[2];
    struct measured_chart chart = two_cells(readings);
    struct photo photo = {.path = "a.jpg", .scale = 2, .profile_name = "sRGB"};
    struct measurement measurement = {.chart_count = 1};
    const struct json_chart measured = {&photo, &measurement, &chart, 0.5};
    struct table table = {0};
    struct error error;
    char *text = NULL;
    size_t size = 0;
    FILE *out = open_memstream(&text, &size);

    (void)state;
    measurement.card.corners = (struct quad){{{10, 20}, {70, 20}, {70, 60}, {10, 60}}};
    measurement.card.turns = 1;
    assert_int_equal(rows_of_measurement("a.jpg", &chart, NULL, &table, &error), STATUS_OK);
    assert_int_equal(json_write_measurement(&measured, &table, out, &error), STATUS_OK);
    fclose(out);
    assert_non_null(strstr(text, "\"turned\": 90"));
    assert_non_null(strstr(text, "\"mirrored\": false"));
    assert_non_null(
        strstr(text, "140.0,\n        40.0")); /* stored pixels: twice the working ones */
    assert_non_null(strstr(text, "\"falloff_percent\""));
    assert_non_null(strstr(text, "\"readings\": ["));
    free(text);
    table_release(&table);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_table_is_aligned_by_what_the_eye_sees),
        cmocka_unit_test(no_text_can_move_the_terminal),
        cmocka_unit_test(csv_quotes_only_what_needs_it),
        cmocka_unit_test(json_keeps_kinds),
        cmocka_unit_test(a_table_without_rows_is_its_header),
        cmocka_unit_test(terminals_count_columns_not_bytes),
        cmocka_unit_test(measure_has_its_csv_header),
        cmocka_unit_test(measure_says_in_json_where_everything_lies),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
