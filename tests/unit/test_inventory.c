#include "inventory_fixture.h"

/* --- keeping -------------------------------------------------------------------------------- */

static void what_is_stored_comes_back_whole(void **state)
{
    struct inventory *inventory = open_inventory();
    struct inventory_readings readings;
    const struct inventory_reading *kept;
    struct made made;

    (void)state;
    make(&made, "aa", 2, 3);
    made.entry.batch = "pad two";
    made.entry.paper = "rough white";
    made.entry.inked_at = (struct photo_time){PHOTO_TIME_GIVEN, 1777790000, 60, true};
    made.readings[4].flags = FLAG_GLARE | FLAG_UNEVEN;
    store(inventory, &made.entry);
    assert_int_equal(count_readings(inventory, NULL), 6);
    readings = readings_of(inventory, "Ink 5");
    assert_int_equal(readings.count, 1);
    kept = &readings.items[0];
    assert_string_equal(kept->ink, "Ink 5");
    assert_string_equal(kept->batch, "pad two");
    assert_string_equal(kept->paper, "rough white");
    assert_string_equal(kept->chart, "spring");
    assert_string_equal(kept->photo, "aa.jpg");
    assert_string_equal(kept->hash, "aa");
    assert_string_equal(kept->card, "invented card");
    assert_string_equal(kept->method, "matrix");
    assert_int_equal(kept->taken.utc_seconds, 1777796400);
    assert_int_equal(kept->taken.offset_minutes, 120);
    assert_int_equal(kept->taken.source, PHOTO_TIME_EXIF);
    assert_int_equal(kept->inked_at.utc_seconds, 1777790000);
    assert_int_equal(kept->inked_at.offset_minutes, 60);
    assert_int_equal(kept->take, 1);
    assert_memory_equal(&kept->reading, &made.readings[4], sizeof kept->reading);
    inventory_readings_release(&readings);
    inventory_close(inventory);
}

static void unreadable_and_blank_cells_are_kept_as_such(void **state)
{
    struct inventory *inventory = open_inventory();
    struct inventory_readings readings;
    struct made made;

    (void)state;
    make(&made, "aa", 1, 3);
    made.readings[1].found = CELL_UNREADABLE;
    made.readings[2].found = CELL_EMPTY;
    made.cells[2].ink[0] = '\0';
    store(inventory, &made.entry);
    readings = readings_of(inventory, NULL);
    assert_int_equal(readings.count, 3);
    assert_int_equal(readings.items[1].reading.found, CELL_UNREADABLE);
    assert_float_equal(readings.items[1].reading.lab.L, 0, 0);
    assert_int_equal(readings.items[2].reading.found, CELL_EMPTY);
    assert_null(readings.items[2].ink);
    assert_int_equal(readings.items[2].swatch_id, 0);
    inventory_readings_release(&readings);
    inventory_close(inventory);
}

static void cells_without_names_are_kept_and_are_no_inks_until_they_are_named(void **state)
{
    struct inventory *inventory = open_inventory();
    struct inventory_inks inks = {0};
    struct error error;
    struct made made;

    (void)state;
    make(&made, "aa", 1, 2);
    made.entry.names = NULL;
    made.entry.batch = "pad two";
    store(inventory, &made.entry);
    assert_int_equal(inventory_read_inks(inventory, &inks, &error), STATUS_OK);
    assert_int_equal(inks.count, 0);
    assert_int_equal(count_readings(inventory, NULL), 2);
    make(&made, "bb", 1, 2);
    store(inventory, &made.entry);
    assert_int_equal(count_readings(inventory, "Ink 1"), 2);
    assert_int_equal(count_swatches(inventory, "Ink 1"), 1);
    inventory_close(inventory);
}

static void a_known_chart_without_names_holds_the_inks_it_held(void **state)
{
    struct inventory *inventory = open_inventory();
    struct made made;

    (void)state;
    make(&made, "aa", 1, 2);
    store(inventory, &made.entry);
    make(&made, "bb", 1, 2);
    made.entry.names = NULL;
    made.entry.batch = "pad two"; /* another swatch, of the same ink */
    store(inventory, &made.entry);
    assert_int_equal(count_readings(inventory, "Ink 1"), 2);
    assert_int_equal(count_swatches(inventory, "Ink 1"), 2);
    inventory_close(inventory);
}

static void cells_that_hold_another_ink_than_before_are_told(void **state)
{
    struct inventory *inventory = open_inventory();
    struct inventory_outcome outcome;
    struct error error;
    struct made made;

    (void)state;
    make(&made, "aa", 2, 2);
    store(inventory, &made.entry);
    make(&made, "bb", 2, 2);
    snprintf(made.cells[2].ink, sizeof made.cells[2].ink, "Linseed 4");
    assert_int_equal(inventory_store(inventory, &made.entry, 1, &outcome, &error), STATUS_OK);
    assert_int_equal(outcome.changed, 1);
    assert_int_equal(outcome.changed_cells[0].row, 2);
    assert_int_equal(outcome.changed_cells[0].column, 1);
    assert_string_equal(outcome.changed_cells[0].before, "Ink 3");
    assert_string_equal(outcome.changed_cells[0].now, "Linseed 4");
    inventory_close(inventory);
}

static void inks_show_their_latest_reading_by_the_time_taken(void **state)
{
    struct inventory *inventory = open_inventory();
    struct inventory_inks inks = {0};
    struct error error;
    struct made made;

    (void)state;
    make(&made, "later", 1, 2);
    store(inventory, &made.entry);
    make(&made, "earlier", 1, 2);
    made.photo.taken.utc_seconds -= 86400;
    made.readings[0].lab.L = 77;
    made.readings[1].found = CELL_UNREADABLE;
    store(inventory, &made.entry);
    assert_int_equal(inventory_read_inks(inventory, &inks, &error), STATUS_OK);
    assert_int_equal(inks.count, 2);
    assert_string_equal(inks.items[0].name, "Ink 1");
    assert_float_equal(inks.items[0].lab.L, 30.1, 1e-12);
    assert_int_equal(inks.items[0].readings, 2);
    assert_int_equal(inks.items[0].swatches, 1);
    assert_int_equal(inks.items[1].readings, 1);
    inventory_inks_release(&inks);
    inventory_close(inventory);
}

static void a_named_ink_never_read_is_listed_without_colour(void **state)
{
    struct inventory *inventory = open_inventory();
    struct inventory_inks inks = {0};
    struct error error;
    struct made made;

    (void)state;
    make(&made, "aa", 1, 1);
    made.readings[0].found = CELL_UNREADABLE;
    store(inventory, &made.entry);
    assert_int_equal(inventory_read_inks(inventory, &inks, &error), STATUS_OK);
    assert_int_equal(inks.count, 1);
    assert_false(inks.items[0].measured);
    inventory_inks_release(&inks);
    inventory_close(inventory);
}

/* --- swatches ------------------------------------------------------------------------------- */

static void the_same_chart_again_adds_readings_to_its_swatches(void **state)
{
    struct inventory *inventory = open_inventory();
    struct made made;

    (void)state;
    make(&made, "wet", 1, 2);
    made.entry.batch = "pad two";
    made.entry.inked_at = (struct photo_time){PHOTO_TIME_GIVEN, 1777790000, 60, true};
    store(inventory, &made.entry);
    make(&made, "dry", 1, 2); /* batch and inking not told: as before */
    store(inventory, &made.entry);
    assert_int_equal(count_readings(inventory, "Ink 1"), 2);
    assert_int_equal(count_swatches(inventory, "Ink 1"), 1);
    inventory_close(inventory);
}

static void another_batch_paper_inking_or_ink_is_another_swatch(void **state)
{
    struct inventory *inventory = open_inventory();
    struct made made;

    (void)state;
    make(&made, "one", 1, 1);
    store(inventory, &made.entry);
    make(&made, "two", 1, 1);
    made.entry.batch = "pad two";
    store(inventory, &made.entry);
    assert_int_equal(count_swatches(inventory, "Ink 1"), 2);
    make(&made, "three", 1, 1);
    made.entry.paper = "rough white";
    store(inventory, &made.entry);
    assert_int_equal(count_swatches(inventory, "Ink 1"), 3);
    make(&made, "four", 1, 1);
    made.entry.inked_at = (struct photo_time){PHOTO_TIME_GIVEN, 1777790000, 60, true};
    store(inventory, &made.entry); /* told late, of the same swatch */
    assert_int_equal(count_swatches(inventory, "Ink 1"), 3);
    make(&made, "four and a half", 1, 1);
    made.entry.inked_at = (struct photo_time){PHOTO_TIME_GIVEN, 1777793600, 60, true};
    store(inventory, &made.entry);
    assert_int_equal(count_swatches(inventory, "Ink 1"), 4);
    make(&made, "five", 1, 1);
    snprintf(made.cells[0].ink, sizeof made.cells[0].ink, "Linseed 4");
    store(inventory, &made.entry);
    assert_int_equal(count_swatches(inventory, "Ink 1"), 4);
    assert_int_equal(count_swatches(inventory, "Linseed 4"), 1);
    inventory_close(inventory);
}

static void a_chart_of_another_shape_is_refused(void **state)
{
    struct inventory *inventory = open_inventory();
    struct inventory_outcome outcome;
    struct error error = {0};
    struct made made;

    (void)state;
    make(&made, "aa", 2, 3);
    store(inventory, &made.entry);
    make(&made, "bb", 3, 3);
    assert_int_equal(inventory_store(inventory, &made.entry, 1, &outcome, &error),
                     STATUS_INVENTORY);
    assert_non_null(strstr(error.message, "2 rows x 3 columns"));
    assert_non_null(strstr(error.message, "3 x 3"));
    assert_int_equal(count_readings(inventory, NULL), 6);
    inventory_close(inventory);
}

/* --- the same photo ------------------------------------------------------------------------- */

static void the_same_photo_is_refused_unless_again_is_said(void **state)
{
    struct inventory *inventory = open_inventory();
    struct inventory_readings readings;
    struct inventory_outcome outcome;
    struct error error = {0};
    struct made made;

    (void)state;
    make(&made, "aa", 1, 2);
    store(inventory, &made.entry);
    made.readings[0].lab.L = 77;
    assert_int_equal(inventory_store(inventory, &made.entry, 1, &outcome, &error),
                     STATUS_INVENTORY);
    assert_non_null(strstr(error.message, "--again"));
    assert_int_equal(count_readings(inventory, NULL), 2);
    made.entry.again = true;
    assert_int_equal(inventory_store(inventory, &made.entry, 1, &outcome, &error), STATUS_OK);
    assert_int_equal(outcome.times_before, 1);
    readings = readings_of(inventory, "Ink 1");
    assert_int_equal(readings.count, 2);
    assert_float_equal(readings.items[0].reading.lab.L, 30.1, 1e-12);
    assert_float_equal(readings.items[1].reading.lab.L, 77, 1e-12);
    assert_int_equal(readings.items[1].take, 2);
    inventory_readings_release(&readings);
    inventory_close(inventory);
}

static void a_reading_that_breaks_a_rule_takes_its_whole_photo_with_it(void **state)
{
    struct inventory *inventory = open_inventory();
    struct inventory_outcome outcome;
    struct error error = {0};
    struct made made;

    (void)state;
    make(&made, "aa", 2, 2);
    made.readings[3].row = 0; /* the tables know no such cell */
    made.entry.names = NULL;
    assert_int_equal(inventory_store(inventory, &made.entry, 1, &outcome, &error),
                     STATUS_INVENTORY);
    assert_int_equal(count_readings(inventory, NULL), 0);
    made.readings[3].row = 2;
    store(inventory, &made.entry); /* the photo is not known, so it needs no --again */
    assert_int_equal(count_readings(inventory, NULL), 4);
    inventory_close(inventory);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST(what_is_stored_comes_back_whole),
        TEST(unreadable_and_blank_cells_are_kept_as_such),
        TEST(cells_without_names_are_kept_and_are_no_inks_until_they_are_named),
        TEST(a_known_chart_without_names_holds_the_inks_it_held),
        TEST(cells_that_hold_another_ink_than_before_are_told),
        TEST(inks_show_their_latest_reading_by_the_time_taken),
        TEST(a_named_ink_never_read_is_listed_without_colour),
        TEST(the_same_chart_again_adds_readings_to_its_swatches),
        TEST(another_batch_paper_inking_or_ink_is_another_swatch),
        TEST(a_chart_of_another_shape_is_refused),
        TEST(the_same_photo_is_refused_unless_again_is_said),
        TEST(a_reading_that_breaks_a_rule_takes_its_whole_photo_with_it),
    };

    return cmocka_run_group_tests(tests, make_folder, remove_folder);
}
