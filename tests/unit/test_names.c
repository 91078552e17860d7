#include "values/calendar.h"
#include "files/names.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#include <cmocka.h>

static char folder[] = "names-test-XXXXXX";
static char path[64];

static int make_folder(void **state)
{
    (void)state;
    setenv("TZ", "CET-1CEST,M3.5.0,M10.5.0/3", 1);
    tzset();
    if (!mkdtemp(folder))
        return -1;
    snprintf(path, sizeof path, "%s/names.csv", folder);
    return 0;
}

static int remove_folder(void **state)
{
    (void)state;
    unlink(path);
    return rmdir(folder);
}

/* Read a names file of these bytes. */
static enum status read_bytes(const char *bytes, size_t length, struct names *names,
                              struct error *error)
{
    FILE *file = fopen(path, "wb");

    assert_non_null(file);
    assert_int_equal(fwrite(bytes, 1, length, file), length);
    fclose(file);
    return names_read(path, names, error);
}

static enum status read_text(const char *text, struct names *names, struct error *error)
{
    return read_bytes(text, strlen(text), names, error);
}

static void expect_names(const char *text, int rows, int columns, const char *const *inks)
{
    struct names names;
    struct error error = {0};

    if (read_text(text, &names, &error))
        fail_msg("%s", error.message);
    assert_int_equal(names.rows, rows);
    assert_int_equal(names.columns, columns);
    for (int i = 0; i < rows * columns; i++)
        assert_string_equal(names.cells[i].ink, inks[i]);
    names_release(&names);
}

static void expect_refusal(const char *text, const char *part)
{
    struct names names;
    struct error error = {0};

    assert_int_equal(read_text(text, &names, &error), STATUS_FORMAT);
    assert_non_null(strstr(error.message, path));
    if (!strstr(error.message, part))
        fail_msg("'%s' does not say '%s'", error.message, part);
    assert_null(names.cells);
}

static void a_sheet_of_names_is_read_as_it_lies(void **state)
{
    (void)state;
    expect_names("Beetroot 12,Juniper 1\nCeleriac 2,\n", 2, 2,
                 (const char *const[]){"Beetroot 12", "Juniper 1", "Celeriac 2", ""});
}

static void spreadsheets_may_save_it_their_way(void **state)
{
    static const char *const inks[] = {"Juniper 1", "Caf\xC3\xA9, strong", "Old \"Tin\" 3", ""};

    (void)state;
    expect_names("\xEF\xBB\xBFJuniper 1,\"Caf\xC3\xA9, strong\"\r\n\"Old \"\"Tin\"\" 3\",\r\n", 2,
                 2, inks);
    expect_names("Juniper 1;\"Caf\xC3\xA9, strong\"\r\n\"Old \"\"Tin\"\" 3\";", 2, 2, inks);
    expect_names("Juniper 1\tCaf\xC3\xA9, strong\n\"Old \"\"Tin\"\" 3\"\t\n", 2, 2, inks);
}

static void commas_in_names_do_not_part_a_sheet_of_semicolons(void **state)
{
    (void)state;
    expect_names("Plum;Tar", 1, 2, (const char *const[]){"Plum", "Tar"});
    expect_names("Tin, old, thin;Moss, wet, green\nPlum;Tar\n\n", 2, 2,
                 (const char *const[]){"Tin, old, thin", "Moss, wet, green", "Plum", "Tar"});
}

static void white_space_around_and_in_a_name_is_tidied(void **state)
{
    (void)state;
    expect_names("  Juniper   1 ,\"Celeriac\n2 \"\n", 1, 2,
                 (const char *const[]){"Juniper 1", "Celeriac 2"});
}

static void a_name_may_carry_the_time_it_was_inked(void **state)
{
    struct names names;
    struct error error = {0};
    const struct name *name;

    (void)state;
    assert_int_equal(read_text("Juniper 1 @ 2026-05-03 10:20,Moss @ Gate,"
                               "Plum @2026-01-03T10:20:30Z\n",
                               &names, &error),
                     STATUS_OK);
    name = names_at(&names, 1, 1);
    assert_string_equal(name->ink, "Juniper 1");
    /* 2026-05-03 08:20 UTC: date -u -d '2026-05-03 08:20' +%s */
    assert_int_equal(name->inked_at.utc_seconds, 1777796400);
    assert_int_equal(name->inked_at.offset_minutes, 120);
    assert_string_equal(names_at(&names, 1, 2)->ink, "Moss @ Gate");
    assert_int_equal(names_at(&names, 1, 2)->inked_at.source, PHOTO_TIME_NONE);
    name = names_at(&names, 1, 3);
    assert_string_equal(name->ink, "Plum");
    /* date -u -d '2026-01-03 10:20:30' +%s */
    assert_int_equal(name->inked_at.utc_seconds, 1767435630);
    names_release(&names);
}

static void a_time_that_is_none_is_refused(void **state)
{
    (void)state;
    expect_refusal("Plum,Juniper 1 @ 2026-02-30 10:20\n", "row 1, field 2");
    expect_refusal("Juniper 1 @ 10:20,Plum\n", "no time");
}

static void ragged_rows_are_refused_with_both_counts(void **state)
{
    (void)state;
    expect_refusal("Plum,Juniper 1\nCeleriac 2\n", "fields in row 2: 1, in row 1: 2");
    expect_refusal("Plum,Juniper 1\nCeleriac 2,Tin,\n", "fields in row 2: 3, in row 1: 2");
}

static void an_ink_named_twice_is_refused_with_both_places(void **state)
{
    (void)state;
    expect_refusal("Plum,Juniper 1\nCeleriac 2,Plum\n", "row 1 column 1 and at row 2 column 2");
}

static void a_batch_stands_in_brackets_before_the_time(void **state)
{
    struct names names;
    struct error error = {0};

    (void)state;
    assert_int_equal(read_text("Juniper 1 [pad 7] @ 2026-05-03 10:20,Juniper 1 [pad 7]\n"
                               "Bench [2] Green,Juniper 1 [ 8 ]\n",
                               &names, &error),
                     STATUS_OK);
    assert_string_equal(names_at(&names, 1, 1)->ink, "Juniper 1");
    assert_string_equal(names_at(&names, 1, 1)->batch, "pad 7");
    assert_int_equal(names_at(&names, 1, 1)->inked_at.source, PHOTO_TIME_GIVEN);
    assert_string_equal(names_at(&names, 2, 1)->ink, "Bench [2] Green");
    assert_string_equal(names_at(&names, 2, 1)->batch, "");
    assert_string_equal(names_at(&names, 2, 2)->batch, "8");
    names_release(&names);
    assert_int_equal(read_text("Juniper 1 [],A\n", &names, &error), STATUS_FORMAT);
    assert_int_equal(read_text("Juniper 1 [7],Juniper 1\n", &names, &error), STATUS_FORMAT);
}

static void an_ink_inked_twice_at_different_times_is_two_swatches(void **state)
{
    (void)state;
    expect_names("Plum @ 2026-05-03 10:20,Plum @ 2026-05-03 11:20\n", 1, 2,
                 (const char *const[]){"Plum", "Plum"});
}

static void what_is_no_list_of_names_is_refused(void **state)
{
    char many[NAMES_SIDE_MAX + 3];
    char lengthy[NAMES_INK_BYTES_MAX + 8];

    (void)state;
    expect_refusal("", "no ink name");
    expect_refusal(",,\n,,\n", "no ink name");
    expect_refusal("Plum,\"Juniper 1\nMoss,Tin\n", "quotation mark");
    expect_refusal("Plum,Caf\xE9\n", "UTF-8");
    expect_refusal("\xFF\xFEPlum", "UTF-16");
    expect_refusal("Plum,Wet\x1B[31m Slate\n", "can't be seen");
    memset(many, ',', sizeof many);
    many[sizeof many - 1] = '\0';
    expect_refusal(many, "more than 40");
    memset(lengthy, 'a', sizeof lengthy);
    lengthy[sizeof lengthy - 1] = '\0';
    expect_refusal(lengthy, "bytes long");
}

static void bytes_that_are_no_text_are_refused(void **state)
{
    struct names names;
    struct error error = {0};

    (void)state;
    assert_int_equal(read_bytes("Plum\0,Tin", 9, &names, &error), STATUS_FORMAT);
}

static void a_file_that_is_not_there_is_a_file_fault(void **state)
{
    struct names names;
    struct error error = {0};

    (void)state;
    assert_int_equal(names_read("no-such-names.csv", &names, &error), STATUS_FILE);
    assert_int_equal(names_read(folder, &names, &error), STATUS_FILE);
}

static void cells_go_by_a_letter_and_a_number(void **state)
{
    char label[NAMES_LABEL_SIZE];

    (void)state;
    names_label(1, 1, label);
    assert_string_equal(label, "A1");
    names_label(26, 40, label);
    assert_string_equal(label, "Z40");
    names_label(27, 3, label);
    assert_string_equal(label, "AA3");
    assert_string_equal(names_of_cell(NULL, 2, 3, label), "B3");
}

static void names_that_are_written_read_back_the_same(void **state)
{
    struct name cells[6] = {{.ink = "Juniper 1"}, {.ink = "Said \"Blue\", nearly"},
                            {.ink = ""},          {.ink = ""},
                            {.ink = "A; B"},      {.ink = "Moss"}};
    struct names written = {2, 3, cells}, narrow = {3, 1, cells + 2}, names;
    struct error error = {0};

    (void)state;
    unlink(path); /* a CSV file is never replaced */
    assert_int_equal(names_write(path, &written, &error), STATUS_OK);
    assert_int_equal(names_read(path, &names, &error), STATUS_OK);
    assert_int_equal(names.rows, 2);
    assert_int_equal(names.columns, 3);
    for (int i = 0; i < 6; i++)
        assert_string_equal(names.cells[i].ink, cells[i].ink);
    names_release(&names);
    assert_int_equal(names_write(path, &narrow, &error), STATUS_FILE);
    unlink(path);
    assert_int_equal(names_write(path, &narrow, &error), STATUS_OK);
    assert_int_equal(names_read(path, &names, &error), STATUS_OK);
    assert_int_equal(names.rows, 3);
    assert_string_equal(names.cells[2].ink, "A; B");
    names_release(&names);
}

static void names_that_cannot_be_written_are_refused(void **state)
{
    struct name cell = {.ink = "Juniper 1"};
    struct names names = {1, 1, &cell};
    struct error error = {0};

    (void)state;
    assert_int_equal(names_write("no-such-folder/names.csv", &names, &error), STATUS_FILE);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_sheet_of_names_is_read_as_it_lies),
        cmocka_unit_test(spreadsheets_may_save_it_their_way),
        cmocka_unit_test(commas_in_names_do_not_part_a_sheet_of_semicolons),
        cmocka_unit_test(white_space_around_and_in_a_name_is_tidied),
        cmocka_unit_test(a_name_may_carry_the_time_it_was_inked),
        cmocka_unit_test(a_time_that_is_none_is_refused),
        cmocka_unit_test(ragged_rows_are_refused_with_both_counts),
        cmocka_unit_test(an_ink_named_twice_is_refused_with_both_places),
        cmocka_unit_test(a_batch_stands_in_brackets_before_the_time),
        cmocka_unit_test(an_ink_inked_twice_at_different_times_is_two_swatches),
        cmocka_unit_test(what_is_no_list_of_names_is_refused),
        cmocka_unit_test(bytes_that_are_no_text_are_refused),
        cmocka_unit_test(a_file_that_is_not_there_is_a_file_fault),
        cmocka_unit_test(cells_go_by_a_letter_and_a_number),
        cmocka_unit_test(names_that_are_written_read_back_the_same),
        cmocka_unit_test(names_that_cannot_be_written_are_refused),
    };

    return cmocka_run_group_tests(tests, make_folder, remove_folder);
}
