#include "drawing.h"

#include "inventory/print_setups.h"

#include <unistd.h>

/* Printers and kinds of labels, kept by names of the person's own. */

static const char path[] = "build-test-setups.db";

static const struct inventory_printer hall = {
    "Hall printer", {0.97, 0.98}, {3.25, -1.5}, {2.5, -4}};
static const struct inventory_stock jars = {"Jars", {148, 210}, 4, 3, {40, 41}, {5, 6}, {45, 48}};

static struct inventory *open_empty(void)
{
    struct inventory *inventory;
    struct error error;

    unlink(path);
    assert_int_equal(inventory_open(path, INVENTORY_CREATE, &inventory, &error), STATUS_OK);
    return inventory;
}

static struct inventory_setups kept_in(struct inventory *inventory)
{
    struct inventory_setups setups = {0};
    struct error error;

    assert_int_equal(inventory_read_setups(inventory, &setups, &error), STATUS_OK);
    return setups;
}

static void a_printer_is_found_by_its_name_in_any_case(void **state)
{
    struct inventory *inventory = open_empty();
    const struct inventory_printer *found;
    struct inventory_setups setups;
    struct error error;

    (void)state;
    assert_int_equal(inventory_keep_printer(inventory, &hall, &error), STATUS_OK);
    setups = kept_in(inventory);
    assert_int_equal(inventory_setups_printer(&setups, "hall  PRINTER", &found, &error), STATUS_OK);
    assert_memory_equal(found, &hall, sizeof hall);
    assert_int_equal(inventory_setups_printer(&setups, "kitchen", &found, &error),
                     STATUS_INVENTORY);
    assert_non_null(strstr(error.message, "Hall printer"));
    inventory_setups_release(&setups);
    inventory_close(inventory);
}

static void a_printer_told_again_is_replaced(void **state)
{
    struct inventory *inventory = open_empty();
    struct inventory_printer again = hall;
    struct inventory_setups setups;
    struct error error;

    (void)state;
    snprintf(again.name, sizeof again.name, "hall printer");
    again.scale.x = 1.01;
    assert_int_equal(inventory_keep_printer(inventory, &hall, &error), STATUS_OK);
    assert_int_equal(inventory_keep_printer(inventory, &again, &error), STATUS_OK);
    setups = kept_in(inventory);
    assert_int_equal(setups.printer_count, 1);
    drawing_assert_near(setups.printers[0].scale.x, 1.01, 0);
    inventory_setups_release(&setups);
    assert_int_equal(inventory_drop_printer(inventory, "HALL PRINTER", &error), STATUS_OK);
    assert_int_equal(inventory_drop_printer(inventory, "HALL PRINTER", &error), STATUS_INVENTORY);
    inventory_close(inventory);
}

static void labels_come_back_as_they_were_kept(void **state)
{
    struct inventory *inventory = open_empty();
    struct inventory_stock nameless = jars;
    const struct inventory_stock *found;
    struct inventory_setups setups;
    struct error error;

    (void)state;
    assert_int_equal(inventory_keep_stock(inventory, &jars, &error), STATUS_OK);
    nameless.name[0] = '\0';
    assert_int_equal(inventory_keep_stock(inventory, &nameless, &error), STATUS_USAGE);
    setups = kept_in(inventory);
    found = inventory_setups_stock(&setups, "JARS");
    assert_non_null(found);
    assert_memory_equal(found, &jars, sizeof jars);
    assert_null(inventory_setups_stock(&setups, "Jar"));
    inventory_setups_release(&setups);
    assert_int_equal(inventory_drop_stock(inventory, "jars", &error), STATUS_OK);
    inventory_close(inventory);
    unlink(path);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_printer_is_found_by_its_name_in_any_case),
        cmocka_unit_test(a_printer_told_again_is_replaced),
        cmocka_unit_test(labels_come_back_as_they_were_kept),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
