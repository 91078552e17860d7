#include "base/error.h"
#include "base/utf8.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

static void expect_shown(const char *string, const char *wanted)
{
    char shown[100];

    utf8_show(string, shown, sizeof shown);
    assert_string_equal(shown, wanted);
    utf8_show(wanted, shown, sizeof shown); /* what is shown is plain, and stays as it is */
    assert_string_equal(shown, wanted);
    assert_true(utf8_is_plain(wanted));
    assert_int_equal(utf8_is_plain(string), strcmp(string, wanted) == 0);
}

static void what_could_steer_a_terminal_is_spelt_out(void **state)
{
    (void)state;
    expect_shown("Wet Slate", "Wet Slate");
    expect_shown("Gr\xC3\xBCn \xE5\xA2\xA8", "Gr\xC3\xBCn \xE5\xA2\xA8");
    expect_shown("a\x1B[2Jb", "a\\x1B[2Jb");
    expect_shown("two\nlines\tand\ra bell\a", "two\\nlines\\tand\\ra bell\\x07");
    expect_shown("caf\xE9.jpg", "caf\\xE9.jpg"); /* Latin-1 */
    expect_shown("\xC2\x9B", "\\u009B");         /* a control sequence in one byte */
}

/* Source of the marks: Unicode Standard Annex 9. */
static void what_turns_the_direction_of_writing_is_spelt_out(void **state)
{
    (void)state;
    expect_shown("photo\xE2\x80\xAEgpj.exe", "photo\\u202Egpj.exe");
    expect_shown("\xE2\x81\xA6"
                 "a\xE2\x81\xA9",
                 "\\u2066a\\u2069");
    expect_shown("a\xE2\x80\xA8"
                 "b",
                 "a\\u2028b");
    /* a joiner, which scripts need */
    expect_shown("\xD9\x85\xE2\x80\x8C\xD9\x87", "\xD9\x85\xE2\x80\x8C\xD9\x87");
}

static void what_does_not_fit_is_left_out_in_whole_characters(void **state)
{
    char shown[6];

    (void)state;
    utf8_show("abc\xE5\xA2\xA8", shown, sizeof shown);
    assert_string_equal(shown, "abc");
    utf8_show("abc\x1B", shown, sizeof shown);
    assert_string_equal(shown, "abc");
}

static void columns_are_counted_as_shown(void **state)
{
    (void)state;
    assert_int_equal(utf8_columns("Gr\xC3\xBCn"), 4);
    assert_int_equal(utf8_columns("\xE5\xA2\xA8"), 2);
    assert_int_equal(utf8_columns("a\x1B"), 5);
}

/* Source: Unicode Standard Annex 11, East Asian Width; the marks are of general category Mn. */
static void wide_letters_take_two_columns_and_marks_none(void **state)
{
    (void)state;
    assert_int_equal(utf8_columns("\xEF\xBC\xA1"), 2);     /* a fullwidth A */
    assert_int_equal(utf8_columns("e\xCC\x81"), 1);        /* e and an acute */
    assert_int_equal(utf8_columns("\xF0\x9F\x98\x80"), 2); /* a face */
}

static void expect_tidied(const char *string, const char *wanted)
{
    char tidied[100];

    assert_true(utf8_tidy(string, tidied, sizeof tidied));
    assert_string_equal(tidied, wanted);
}

/* Source: Unicode Standard Annex 15, figures 3 to 5. */
static void names_are_kept_in_the_composed_form(void **state)
{
    char tidied[4];

    (void)state;
    expect_tidied("\xE2\x84\xAB", "\xC3\x85");                 /* the sign for angstrom */
    expect_tidied("A\xCC\x8A", "\xC3\x85");                    /* A and a ring above */
    expect_tidied("\xEF\xAC\x81", "\xEF\xAC\x81");             /* a ligature is no other spelling */
    expect_tidied("s\xCC\x87\xCC\xA3", "\xE1\xB9\xA9");        /* marks in another order */
    expect_tidied("\xE1\x84\x80\xE1\x85\xA1", "\xEA\xB0\x80"); /* Hangul */
    expect_tidied(" two \t words\xC2\xA0 ", "two words");
    assert_false(utf8_tidy("lengthy", tidied, sizeof tidied));
    assert_string_equal(tidied, "");
}

/* Source: CaseFolding.txt of the Unicode Character Database, status C and F. */
static void names_that_differ_in_case_or_spaces_are_the_same(void **state)
{
    (void)state;
    assert_true(utf8_same("Leek 14", " LEEK  14"));
    assert_true(utf8_same("Stra\xC3\x9F"
                          "e",
                          "STRASSE"));
    assert_true(utf8_same("Caf\xC3\xA9", "CAFE\xCC\x81"));
    assert_true(utf8_same("\xE2\x84\xAA", "k")); /* the sign for kelvin */
    assert_false(utf8_same("Caf\xC3\xA9", "Cafe"));
    assert_false(utf8_same("Leek 14", "Leek 15"));
    assert_false(utf8_same("Leek 14", "Leek14"));
}

static void a_message_spells_out_what_it_echoes(void **state)
{
    struct error error;

    (void)state;
    error_set(&error, STATUS_FILE, "%s: not there", "evil\x1B]0;title\a.jpg");
    assert_string_equal(error.message, "evil\\x1B]0;title\\x07.jpg: not there");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_could_steer_a_terminal_is_spelt_out),
        cmocka_unit_test(what_turns_the_direction_of_writing_is_spelt_out),
        cmocka_unit_test(what_does_not_fit_is_left_out_in_whole_characters),
        cmocka_unit_test(columns_are_counted_as_shown),
        cmocka_unit_test(wide_letters_take_two_columns_and_marks_none),
        cmocka_unit_test(names_are_kept_in_the_composed_form),
        cmocka_unit_test(names_that_differ_in_case_or_spaces_are_the_same),
        cmocka_unit_test(a_message_spells_out_what_it_echoes),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
