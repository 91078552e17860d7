#include "base/nearest.h"
#include "commands/options.h"
#include "files/photo.h"
#include "output/table.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

struct settings {
    bool quick;
    const char *names;
    int rows;
    struct photo_time at;
    struct told_corners corners;
    enum table_format format;
};

static const struct option options[] = {
    OPTION_SWITCH(struct settings, quick, "quick", "be quick about it"),
    OPTION(struct settings, names, "names", "FILE", "read names"),
    OPTION_BETWEEN(struct settings, rows, 1, 40, "rows", "N", "count rows"),
    OPTION(struct settings, at, "at", "TIME", "when"),
    OPTION(struct settings, corners, "corners-of-it", "X,Y,X,Y,X,Y,X,Y", "where"),
    OPTION(struct settings, format, "format", "table|csv|json", "how"),
    {0}};

static const struct command command = {.name = "sort",
                                       .operands = "PHOTO...",
                                       .summary = "sort photos",
                                       .options = options,
                                       .operands_minimum = 1,
                                       .operands_maximum = 3};

#define WORDS_MAX 8

/* Parse words parted by single spaces ("_" stands for a space within a word). */
static enum status parse(const char *line, int *count, char **words, struct settings *settings,
                         struct error *error)
{
    static char copy[512];

    snprintf(copy, sizeof copy, "%s", line);
    *count = 0;
    memset(settings, 0, sizeof *settings);
    for (char *word = strtok(copy, " "); word && *count < WORDS_MAX; word = strtok(NULL, " ")) {
        for (char *at = word; *at; at++)
            *at = *at == '_' ? ' ' : *at;
        words[(*count)++] = word;
    }
    return options_parse(&command, count, words, settings, error);
}

static void expect_fault(const char *line, const char *part)
{
    struct settings settings;
    struct error error = {0};
    char *words[WORDS_MAX];
    int count;

    if (parse(line, &count, words, &settings, &error) != STATUS_USAGE)
        fail_msg("'%s' was taken", line);
    if (!strstr(error.message, part))
        fail_msg("'%s' does not say '%s'", error.message, part);
}

static void options_and_operands_may_mix(void **state)
{
    struct settings settings;
    struct error error;
    char *words[WORDS_MAX];
    int count;

    (void)state;
    assert_int_equal(
        parse("one.jpg --quick --names a.csv two.jpg --rows=7", &count, words, &settings, &error),
        STATUS_OK);
    assert_int_equal(count, 2);
    assert_string_equal(words[0], "one.jpg");
    assert_string_equal(words[1], "two.jpg");
    assert_true(settings.quick);
    assert_string_equal(settings.names, "a.csv");
    assert_int_equal(settings.rows, 7);
}

static void two_hyphens_end_the_options(void **state)
{
    struct settings settings;
    struct error error;
    char *words[WORDS_MAX];
    int count;

    (void)state;
    assert_int_equal(parse("- -- --quick -x", &count, words, &settings, &error), STATUS_OK);
    assert_int_equal(count, 3);
    assert_string_equal(words[0], "-");
    assert_string_equal(words[1], "--quick");
    assert_string_equal(words[2], "-x");
    assert_false(settings.quick);
}

static void values_are_read_as_their_kind(void **state)
{
    struct settings settings;
    struct error error;
    char *words[WORDS_MAX];
    int count;

    (void)state;
    assert_int_equal(parse("x --at 2026-05-03_10:20Z --corners-of-it=1,2,9.5,2,9,8,1,8 "
                           "--format json",
                           &count, words, &settings, &error),
                     STATUS_OK);
    /* date -u -d '2026-05-03 10:20' +%s */
    assert_int_equal(settings.at.utc_seconds, 1777803600);
    assert_true(settings.corners.given);
    assert_float_equal(settings.corners.quad.corner[1].x, 9.5, 0);
    assert_float_equal(settings.corners.quad.corner[3].y, 8, 0);
    assert_int_equal(settings.format, TABLE_JSON);
}

static void an_unknown_option_is_told_with_the_nearest(void **state)
{
    (void)state;
    expect_fault("x --nams a.csv", "did you mean --names?");
    expect_fault("x --formt=csv", "did you mean --format?");
    expect_fault("x --zebra", "'woad sort --help' lists");
    expect_fault("x -q", "two hyphens");
}

static void a_missing_or_unwanted_value_is_told(void **state)
{
    (void)state;
    expect_fault("x --names", "--names needs a value (FILE)");
    expect_fault("x --names=", "--names needs a value (FILE)");
    expect_fault("x --quick=yes", "--quick takes no value");
}

static void a_value_out_of_range_is_told_with_the_range(void **state)
{
    (void)state;
    expect_fault("x --rows 0", "from 1 to 40");
    expect_fault("x --rows 41", "from 1 to 40");
    expect_fault("x --rows 7x", "not '7x'");
    expect_fault("x --rows 99999999999999999999", "from 1 to 40");
    expect_fault("x --rows ten", "not 'ten'");
    expect_fault("x --format xml", "table, csv or json");
    expect_fault("x --at noon", "--at: 'noon' is no time");
}

static void corners_go_once_around_clockwise(void **state)
{
    (void)state;
    expect_fault("x --corners-of-it 1,2,9,2,9,8,1", "X,Y,X,Y,X,Y,X,Y");
    expect_fault("x --corners-of-it 1,2,9,2,9,8,1,8,4", "X,Y,X,Y,X,Y,X,Y");
    expect_fault("x --corners-of-it 1,2,9,2,9,8,1,nan", "X,Y,X,Y,X,Y,X,Y");
    expect_fault("x --corners-of-it 1,2,1,8,9,8,9,2", "clockwise"); /* the other way around */
    expect_fault("x --corners-of-it 1,2,9,8,9,2,1,8", "clockwise"); /* crossed */
}

static void too_few_or_too_many_operands_are_told(void **state)
{
    (void)state;
    expect_fault("--quick", "needs PHOTO...");
    expect_fault("a b c d", "'d' is one word too many");
}

static void help_is_asked_before_the_end_of_options_only(void **state)
{
    char *asked[] = {(char *)"x", (char *)"--help"};
    char *not_asked[] = {(char *)"--", (char *)"--help"};

    (void)state;
    assert_true(options_ask_help(2, asked));
    assert_false(options_ask_help(2, not_asked));
    assert_false(options_ask_help(0, NULL));
}

static void help_lists_every_option_in_aligned_columns(void **state)
{
    char *help = NULL;
    size_t size = 0;
    FILE *out = open_memstream(&help, &size);

    (void)state;
    options_print_help(&command, out);
    fclose(out);
    assert_string_equal(help, "woad sort [OPTION...] PHOTO...\n"
                              "sort photos\n"
                              "\n"
                              "  --quick                   be quick about it\n"
                              "  --names FILE              read names\n"
                              "  --rows N                  count rows\n"
                              "  --at TIME                 when\n"
                              "  --corners-of-it X,Y,X,Y,X,Y,X,Y\n"
                              "                            where\n"
                              "  --format table|csv|json   how\n"
                              "  --help                    print this\n");
    free(help);
}

static void the_distance_of_words_counts_letters_changed(void **state)
{
    char lengthy[200];

    (void)state;
    assert_int_equal(nearest_distance("names", "names"), 0);
    assert_int_equal(nearest_distance("Names", "names"), 0);
    assert_int_equal(nearest_distance("", "names"), 5);
    assert_int_equal(nearest_distance("kitten", "sitting"), 3); /* the textbook pair, from memory */
    assert_int_equal(nearest_distance("measure", "mesaure"), 1);
    assert_int_equal(nearest_distance("ab", "ba"), 1);
    memset(lengthy, 'a', sizeof lengthy);
    lengthy[sizeof lengthy - 1] = '\0';
    assert_int_equal(nearest_distance(lengthy, lengthy), 0);
}

static void a_slip_differs_in_letters_not_in_what_counts(void **state)
{
    (void)state;
    assert_true(nearest_is_slip("Beetrot 12", "Beetroot 12"));
    assert_true(nearest_is_slip("Leke 14", "Leek 14"));
    assert_true(nearest_is_slip("Leek-14", "Leek 14"));
    assert_true(nearest_is_slip("Leek14", "LEEK 14"));
    assert_true(nearest_is_slip("Cafe", "Caf\xC3\xA9"));
    assert_true(nearest_is_slip("Winter Cabage (thin)", "Winter Cabbage (thin)"));
    assert_false(nearest_is_slip("Leek 14", "Leek 15"));
    assert_false(nearest_is_slip("Leek 14", "Beet 14"));
    assert_false(nearest_is_slip("Leek 14", "Leek 14 (thin)"));
    assert_false(nearest_is_slip("sheet A", "sheet B"));
    assert_false(nearest_is_slip("Leek II", "Leek III"));
    assert_false(nearest_is_slip("2026-05", "2026-06"));
    assert_false(nearest_is_slip("Mar", "May"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(options_and_operands_may_mix),
        cmocka_unit_test(two_hyphens_end_the_options),
        cmocka_unit_test(values_are_read_as_their_kind),
        cmocka_unit_test(an_unknown_option_is_told_with_the_nearest),
        cmocka_unit_test(a_missing_or_unwanted_value_is_told),
        cmocka_unit_test(a_value_out_of_range_is_told_with_the_range),
        cmocka_unit_test(corners_go_once_around_clockwise),
        cmocka_unit_test(too_few_or_too_many_operands_are_told),
        cmocka_unit_test(help_is_asked_before_the_end_of_options_only),
        cmocka_unit_test(help_lists_every_option_in_aligned_columns),
        cmocka_unit_test(the_distance_of_words_counts_letters_changed),
        cmocka_unit_test(a_slip_differs_in_letters_not_in_what_counts),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
