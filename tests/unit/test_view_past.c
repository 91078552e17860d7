#include "inventory_fixture.h"
#include "output/view_answers.h"
#include "questions/ink_past.h"

#include <math.h>

/* What a view says was seen of an ink. */

#define MINUTE_S 60

/* Store two inks in one photo, so many minutes after they were inked. */
static void store_photo(struct inventory *inventory, const char *hash, const char *batch,
                        int minutes)
{
    static struct made made;
    double wet = exp(-minutes / 40.0);

    make(&made, hash, 1, 2);
    made.photo.taken.utc_seconds += minutes * MINUTE_S;
    made.entry.inked_at = (struct photo_time){PHOTO_TIME_GIVEN, 1777796400, 120, true};
    made.entry.batch = batch;
    for (int i = 0; i < 2; i++) {
        made.readings[i].lab = (struct lab){50 - 10 * wet, 20, 10};
        for (int k = 0; k < 9; k++)
            made.readings[i].covariance_shared[k] = made.readings[i].covariance_own[k] =
                k % 4 ? 0 : 0.01;
    }
    store(inventory, &made.entry);
}

static char *view_of(struct inventory *inventory, const char *name)
{
    const struct view_frame frame = {.title = name, .served = true};
    struct ink_past past;
    const struct view_past asked = {name, &past};
    struct overview overview;
    struct error error;
    char *text = NULL;
    size_t length;
    FILE *out = open_memstream(&text, &length);

    assert_non_null(out);
    assert_int_equal(overview_load(path, NULL, 64, &overview, &error), STATUS_OK);
    assert_int_equal(ink_past_load(inventory, name, &past, &error), STATUS_OK);
    view_past(out, &frame, &overview, &asked);
    ink_past_release(&past);
    overview_release(&overview);
    fclose(out);
    return text;
}

static void expect(struct inventory *inventory, const char *name, const char *text, bool there)
{
    char *view = view_of(inventory, name);

    if ((strstr(view, text) != NULL) != there)
        fail_msg("'%s' is %s in: %s", text, there ? "not" : "too", view);
    free(view);
}

static void an_ink_read_once_says_that_more_photos_tell_how_it_dries(void **state)
{
    struct inventory *inventory = open_inventory();

    (void)state;
    store_photo(inventory, "a", NULL, 5);
    expect(inventory, "Ink 1", "1 swatch was read at one time only", true);
    expect(inventory, "Ink 1", "<figure", false);
    expect(inventory, "Ink 1", "No batch has been told", true);
    expect(inventory, "Ink 1", "None has been logged", true);
    inventory_close(inventory);
}

static void a_swatch_read_while_it_dried_says_when_it_settled_and_shows_each_reading(void **state)
{
    static const int minutes[] = {5, 15, 30, 60, 120, 240, 480, 2000};
    struct inventory *inventory = open_inventory();
    char hash[2] = "a";
    char *view;
    int dots = 0;

    (void)state;
    for (size_t i = 0; i < sizeof minutes / sizeof *minutes; i++, hash[0]++)
        store_photo(inventory, hash, "6", minutes[i]);
    expect(inventory, "Ink 1", "A1 of spring, batch 6: settled after about", true);
    expect(inventory, "Ink 1", "<polyline", true);
    view = view_of(inventory, "Ink 1");
    for (const char *at = view; (at = strstr(at, "<circle")) != NULL; at++)
        dots++;
    free(view);
    assert_int_equal(dots, 8);
    inventory_close(inventory);
}

static void batches_stand_by_their_time_and_the_last_two_are_compared(void **state)
{
    struct inventory *inventory = open_inventory();

    (void)state;
    store_photo(inventory, "a", "6", 2000);
    expect(inventory, "Ink 1", "href=\"/batches?", false);
    store_photo(inventory, "b", "7", 6000);
    expect(inventory, "Ink 1", "href=\"/batches?old=6&amp;new=7\"", true);
    inventory_close(inventory);
}

static void combinations_that_hold_the_ink_are_shown_and_others_are_not(void **state)
{
    struct inventory_combination made = {
        .made = {PHOTO_TIME_GIVEN, 1777796400, 120, true}, .count = 2, .inks = {"Ink 2", "Ink 1"}};
    struct inventory *inventory = open_inventory();
    struct made other;
    struct error error;

    (void)state;
    make(&other, "c", 1, 3);
    store(inventory, &other.entry);
    assert_int_equal(inventory_add_combination(inventory, &made, &error), STATUS_OK);
    expect(inventory, "Ink 1", "href=\"/ink?name=Ink%202\"", true);
    expect(inventory, "Ink 3", "href=\"/ink?name=Ink%202\"", false);
    expect(inventory, "Ink 3", "None has been logged", true);
    inventory_close(inventory);
}

#define TEST_OF_INK(test) cmocka_unit_test_teardown(test, remove_inventory)

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_OF_INK(an_ink_read_once_says_that_more_photos_tell_how_it_dries),
        TEST_OF_INK(a_swatch_read_while_it_dried_says_when_it_settled_and_shows_each_reading),
        TEST_OF_INK(batches_stand_by_their_time_and_the_last_two_are_compared),
        TEST_OF_INK(combinations_that_hold_the_ink_are_shown_and_others_are_not),
    };

    return cmocka_run_group_tests(tests, make_folder, remove_folder);
}
