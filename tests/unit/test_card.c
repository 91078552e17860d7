#include "fixture.h"

#include "card_values.h"

#include <math.h>

static struct card read_edition(const char *edition)
{
    char path[1024];
    struct card card = {0};
    struct error error = {0};

    if (card_find(edition, path, sizeof path, &error) || card_read(path, &card, &error))
        fail_msg("%s", error.message);
    return card;
}

static void both_editions_are_found_and_say_their_source(void **state)
{
    struct card newer = read_edition("from-2014-11");
    struct card older = read_edition("before-2014-11");

    (void)state;
    assert_string_equal(newer.name, "24-patch card, from November 2014");
    assert_string_equal(older.name, "24-patch card, before November 2014");
    assert_non_null(strstr(newer.source, "as commonly tabulated, from memory"));
    assert_non_null(strstr(older.source, "as commonly tabulated, from memory"));
    assert_string_equal(newer.patch_name[0], "dark skin");
    assert_string_equal(newer.patch_name[23], "black 2");
}

static void check_patch(const struct card *card, int patch, struct lab wanted)
{
    assert_true(fabs(card->patch[patch].L - wanted.L) < 1e-9);
    assert_true(fabs(card->patch[patch].a - wanted.a) < 1e-9);
    assert_true(fabs(card->patch[patch].b - wanted.b) < 1e-9);
}

/* Source: ColorChecker 24, as commonly tabulated, from memory. */
static void the_patches_stand_row_by_row_from_the_brown_one(void **state)
{
    struct card newer = read_edition("from-2014-11");
    struct card older = read_edition("before-2014-11");

    (void)state;
    check_patch(&newer, 0, (struct lab){37.54, 14.37, 14.92});
    check_patch(&newer, 5, (struct lab){70.48, -32.26, -0.37});
    check_patch(&newer, 12, (struct lab){28.37, 15.42, -49.80});
    check_patch(&newer, CARD_FIRST_NEUTRAL, (struct lab){95.19, -1.03, 2.93});
    check_patch(&newer, 23, (struct lab){20.64, 0.07, -0.46});
    check_patch(&older, 0, (struct lab){37.986, 13.555, 14.059});
    check_patch(&older, 23, (struct lab){20.461, -0.079, -0.973});
}

/* Source: own calculation from the two tables as commonly printed. */
static void the_two_editions_differ_by_0_85_on_average_and_1_95_at_most(void **state)
{
    struct card newer = read_edition("from-2014-11");
    struct card older = read_edition("before-2014-11");
    double sum = 0, most = 0;

    (void)state;
    for (int i = 0; i < CARD_PATCHES; i++) {
        double difference = colour_delta_e_2000(newer.patch[i], older.patch[i]);

        sum += difference;
        most = fmax(most, difference);
    }
    assert_true(fabs(sum / CARD_PATCHES - 0.85) < 0.005);
    assert_true(fabs(most - 1.95) < 0.005);
}

/* --- finding --- */

static void an_unknown_edition_is_refused_with_those_known(void **state)
{
    char path[1024];
    struct error error = {0};

    (void)state;
    assert_int_equal(card_find("../card", path, sizeof path, &error), STATUS_USAGE);
    assert_non_null(strstr(error.message, "from-2014-11 or before-2014-11"));
}

static void a_given_calibration_folder_comes_first(void **state)
{
    char path[1024];
    char wanted[1024];
    struct error error = {0};

    (void)state;
    snprintf(wanted, sizeof wanted, "%s", fixture_path("card24-from-2014-11.txt"));
    fixture_bytes(wanted, "CGATS.17\n", 9);
    setenv("WOAD_CALIBRATION", fixture_folder, 1);
    assert_int_equal(card_find("from-2014-11", path, sizeof path, &error), STATUS_OK);
    assert_string_equal(path, wanted);
    unsetenv("WOAD_CALIBRATION");
    assert_int_equal(card_find("from-2014-11", path, sizeof path, &error), STATUS_OK);
    assert_string_not_equal(path, wanted);
}

/* --- a user's own card --- */

/* What is to be wrong with a card; zeroed: nothing. */
struct fault {
    const char *illuminant;
    const char *fields;      /* instead of SAMPLE_ID LAB_L LAB_A LAB_B */
    const char *lightness_7; /* of the seventh set */
    int sets;                /* instead of 24 */
    double columns;          /* CARD_COLUMNS; 0: not said */
    double redder;           /* all patches by so much a* */
    double darker;           /* all patches have so much of their L */
    bool by_columns;
    bool upside_down;
};

static struct lab patch_listed(const struct card *card, const struct fault *fault, int place)
{
    if (fault->by_columns)
        return card->patch[place % CARD_ROWS * CARD_COLUMNS + place / CARD_ROWS];
    return card->patch[fault->upside_down ? CARD_PATCHES - 1 - place : place];
}

static const char *write_card(const struct fault *fault)
{
    struct card card = read_edition("from-2014-11");
    const char *path = fixture_path("own-card.txt");
    FILE *file = fopen(path, "w");
    int sets = fault->sets ? fault->sets : CARD_PATCHES;

    assert_non_null(file);
    fprintf(file, "CGATS.17\nDESCRIPTOR \"Thistlewick card\"\n");
    if (fault->illuminant)
        fprintf(file, "WEIGHTING_FUNCTION \"ILLUMINANT, %s\"\n", fault->illuminant);
    if (fault->columns > 0)
        fprintf(file, "KEYWORD \"CARD_COLUMNS\"\nCARD_COLUMNS %g\n", fault->columns);
    fprintf(file, "NUMBER_OF_FIELDS 4\nBEGIN_DATA_FORMAT\n%s\nEND_DATA_FORMAT\n",
            fault->fields ? fault->fields : "SAMPLE_ID LAB_L LAB_A LAB_B");
    fprintf(file, "NUMBER_OF_SETS %d\nBEGIN_DATA\n", sets);
    for (int i = 0; i < sets; i++) {
        struct lab lab = patch_listed(&card, fault, i % CARD_PATCHES);
        char lightness[32];

        snprintf(lightness, sizeof lightness, "%g", (1 - fault->darker) * lab.L);
        fprintf(file, "P%d %s %g %g\n", i + 1,
                i == 6 && fault->lightness_7 ? fault->lightness_7 : lightness,
                lab.a + fault->redder, lab.b);
    }
    fprintf(file, "END_DATA\n");
    fclose(file);
    return path;
}

static void check_refused(const char *path, enum status wanted, const char *seen)
{
    struct card card = {0};
    struct error error = {0};
    enum status status = card_read(path, &card, &error);

    if (status != wanted || !strstr(error.message, seen))
        fail_msg("wanted %d with '%s', got %d: %s", (int)wanted, seen, (int)status, error.message);
    assert_ptr_equal(strstr(error.message, path), error.message);
}

static void a_card_of_ones_own_is_read(void **state)
{
    struct card shipped = read_edition("from-2014-11");
    struct card card = {0};
    struct error error = {0};

    (void)state;
    assert_int_equal(card_read(write_card(&(struct fault){.illuminant = "D50"}), &card, &error),
                     STATUS_OK);
    assert_string_equal(card.name, "Thistlewick card");
    assert_string_equal(card.source, "source not stated");
    assert_string_equal(card.patch_name[6], "P7");
    for (int i = 0; i < CARD_PATCHES; i++)
        check_patch(&card, i, shipped.patch[i]);
}

static void a_card_file_that_is_none_is_refused(void **state)
{
    (void)state;
    check_refused(fixture_path("no-card.txt"), STATUS_FILE, "can't be opened");
    check_refused(fixture_folder, STATUS_FILE, "is no plain file");
    fixture_bytes(fixture_path("empty.txt"), "", 0);
    check_refused(fixture_path("empty.txt"), STATUS_FORMAT, "has 0 bytes");
    fixture_bytes(fixture_path("prose.txt"), "Dear all,\nthe \"card is lost.\n", 28);
    check_refused(fixture_path("prose.txt"), STATUS_FORMAT, "a CGATS text file with a set of");
    fixture_bytes(fixture_path("binary.txt"), "\0\1\2\3\4\5\6\7", 8);
    check_refused(fixture_path("binary.txt"), STATUS_FORMAT, "a CGATS text file with a set of");
}

static void a_card_with_fields_or_sets_missing_is_refused(void **state)
{
    (void)state;
    check_refused(write_card(&(struct fault){.fields = "SAMPLE_ID LAB_L XYZ_X LAB_B"}),
                  STATUS_FORMAT, "has no field LAB_A");
    check_refused(write_card(&(struct fault){.sets = 23}), STATUS_FORMAT, "has 23 sets");
    check_refused(write_card(&(struct fault){.sets = 140}), STATUS_FORMAT, "has 140 sets");
    fixture_cut(write_card(&(struct fault){0}), fixture_path("cut-card.txt"), 0.8);
    check_refused(fixture_path("cut-card.txt"), STATUS_FORMAT, "(Line ");
}

static void numbers_out_of_range_are_refused_with_their_set(void **state)
{
    const char *const wrong[] = {"100.5", "-1", "nan", "inf", "grey", "1e999", "4,5"};

    (void)state;
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++)
        check_refused(write_card(&(struct fault){.lightness_7 = wrong[i]}), STATUS_FORMAT,
                      "LAB_L of set 7 is");
}

static void a_card_for_another_illuminant_is_refused(void **state)
{
    (void)state;
    check_refused(write_card(&(struct fault){.illuminant = "D65"}), STATUS_FORMAT,
                  "values for ILLUMINANT D65; D50 is wanted");
}

static void a_card_listed_column_by_column_or_upside_down_is_refused(void **state)
{
    (void)state;
    check_refused(write_card(&(struct fault){.by_columns = true}), STATUS_FORMAT,
                  "which is no neutral");
    check_refused(write_card(&(struct fault){.upside_down = true}), STATUS_FORMAT,
                  "list the patches row by row");
}

/* --- a card of another shape --- */

static void a_cards_rows_and_neutrals_come_from_its_file(void **state)
{
    struct card card = {0};
    struct error error = {0};

    (void)state;
    assert_int_equal(
        card_read(write_card(&(struct fault){.sets = 30, .columns = 5}), &card, &error), STATUS_OK);
    assert_int_equal(card.shape.rows, 6);
    assert_int_equal(card.shape.columns, 5);
    assert_int_equal(card.shape.patches, 30);
    for (int i = 0; i < 30; i++)
        assert_int_equal(card.neutral[i], i >= 18 && i < 24);
    assert_int_equal(card.shape.white, 18);
    assert_int_equal(card.shape.black, 23);
}

static void a_card_that_says_its_columns_may_have_its_neutrals_anywhere(void **state)
{
    struct card card = {0};
    struct error error = {0};

    (void)state;
    assert_int_equal(
        card_read(write_card(&(struct fault){.columns = 6, .upside_down = true}), &card, &error),
        STATUS_OK);
    assert_int_equal(card.shape.white, 5);
    assert_int_equal(card.shape.black, 0);
}

static void a_card_without_neutrals_from_light_to_dark_is_refused(void **state)
{
    (void)state;
    check_refused(write_card(&(struct fault){.columns = 6, .redder = 60}), STATUS_FORMAT,
                  "has 0 neutral patches; at least 3");
    check_refused(write_card(&(struct fault){.columns = 6, .darker = 0.4}), STATUS_FORMAT,
                  "has 6 neutral patches of too like a lightness");
}

static void a_card_of_too_few_patches_is_refused(void **state)
{
    (void)state;
    check_refused(write_card(&(struct fault){.sets = 17, .columns = 6}), STATUS_FORMAT,
                  "has 17 sets; a card of 18 to 48 patches is wanted");
}

static void a_card_of_too_many_patches_is_refused(void **state)
{
    (void)state;
    check_refused(write_card(&(struct fault){.sets = 49, .columns = 7}), STATUS_FORMAT,
                  "has 49 sets; a card of 18 to 48 patches is wanted");
}

static void a_card_whose_rows_are_not_whole_is_refused(void **state)
{
    (void)state;
    check_refused(write_card(&(struct fault){.sets = 30}), STATUS_FORMAT,
                  "has 30 sets, and does not say how they lie");
    check_refused(write_card(&(struct fault){.columns = 7}), STATUS_FORMAT,
                  "has 24 sets and CARD_COLUMNS 7; whole rows are wanted");
    check_refused(write_card(&(struct fault){.columns = 4.8}), STATUS_FORMAT, "whole rows");
    check_refused(write_card(&(struct fault){.columns = 12}), STATUS_FORMAT, "whole rows");
    check_refused(write_card(&(struct fault){.columns = 2}), STATUS_FORMAT, "whole rows");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(both_editions_are_found_and_say_their_source),
        cmocka_unit_test(the_patches_stand_row_by_row_from_the_brown_one),
        cmocka_unit_test(the_two_editions_differ_by_0_85_on_average_and_1_95_at_most),
        cmocka_unit_test(an_unknown_edition_is_refused_with_those_known),
        cmocka_unit_test(a_given_calibration_folder_comes_first),
        cmocka_unit_test(a_card_of_ones_own_is_read),
        cmocka_unit_test(a_card_file_that_is_none_is_refused),
        cmocka_unit_test(a_card_with_fields_or_sets_missing_is_refused),
        cmocka_unit_test(numbers_out_of_range_are_refused_with_their_set),
        cmocka_unit_test(a_card_for_another_illuminant_is_refused),
        cmocka_unit_test(a_card_listed_column_by_column_or_upside_down_is_refused),
        cmocka_unit_test(a_cards_rows_and_neutrals_come_from_its_file),
        cmocka_unit_test(a_card_that_says_its_columns_may_have_its_neutrals_anywhere),
        cmocka_unit_test(a_card_without_neutrals_from_light_to_dark_is_refused),
        cmocka_unit_test(a_card_of_too_few_patches_is_refused),
        cmocka_unit_test(a_card_of_too_many_patches_is_refused),
        cmocka_unit_test(a_card_whose_rows_are_not_whole_is_refused),
    };

    return cmocka_run_group_tests_name("card", tests, fixture_setup, fixture_teardown);
}
