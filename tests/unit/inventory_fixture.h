#ifndef WOAD_TESTS_INVENTORY_FIXTURE_H
#define WOAD_TESTS_INVENTORY_FIXTURE_H

/* An inventory in a folder of the test's own, and photos made by hand to store in it. */

#include "inventory/inventory.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <cmocka.h>

/* The tests keep a folder of their own; each begins with no inventory. The other
 * databases it needs are made with the sqlite3 shell, a package of `make check`. */
static char folder[] = "inventory-test-XXXXXX";
static char path[96];

static inline int make_folder(void **state)
{
    (void)state;
    if (!mkdtemp(folder))
        return -1;
    snprintf(path, sizeof path, "%s/inventory.db", folder);
    return 0;
}

static inline int remove_folder(void **state)
{
    (void)state;
    return rmdir(folder);
}

static inline int remove_inventory(void **state)
{
    static const char *const endings[] = {"", "-wal", "-shm", "-journal"};
    char file[128];

    (void)state;
    for (int i = 0; i < 4; i++) {
        snprintf(file, sizeof file, "%s%s", path, endings[i]);
        unlink(file);
    }
    snprintf(file, sizeof file, "rm -rf '%s.copies'", path);
    return system(file);
}

/* --- a photo made by hand ------------------------------------------------------------------- */

#define CELLS_MAX 400

struct made {
    struct photo photo;
    struct measurement measurement;
    struct reading readings[CELLS_MAX];
    struct name cells[CELLS_MAX];
    struct names names;
    struct inventory_entry entry;
};

static inline void fill_reading(struct reading *reading, int row, int column, int columns)
{
    double number = (row - 1) * columns + column;

    *reading = (struct reading){.row = row,
                                .column = column,
                                .found = CELL_INK,
                                .lab = {30 + number / 10, -5, number / 7},
                                .u95 = 1.25,
                                .unevenness = 0.5};
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++) {
            reading->covariance_shared[3 * i + j] = (i + 1) * (j + 1) * 0.01;
            reading->covariance_own[3 * i + j] = (i + j) * 0.001;
        }
}

/* A sheet of `rows` x `columns` cells, their inks named "Ink 1", "Ink 2" and on. */
static inline void make(struct made *made, const char *hash, int rows, int columns)
{
    memset(made, 0, sizeof *made);
    snprintf(made->photo.path, sizeof made->photo.path, "%s.jpg", hash);
    snprintf(made->photo.hash, sizeof made->photo.hash, "%s", hash);
    made->photo.taken = (struct photo_time){PHOTO_TIME_EXIF, 1777796400, 120, true};
    snprintf(made->measurement.quality.method, sizeof made->measurement.quality.method, "matrix");
    made->measurement.charts[0].pose.rows = rows;
    made->measurement.charts[0].pose.columns = columns;
    made->measurement.charts[0].readings = made->readings;
    made->names = (struct names){rows, columns, made->cells};
    for (int i = 0; i < rows * columns; i++) {
        fill_reading(&made->readings[i], i / columns + 1, i % columns + 1, columns);
        snprintf(made->cells[i].ink, sizeof made->cells[i].ink, "Ink %d", i + 1);
    }
    made->entry = (struct inventory_entry){.photo = &made->photo,
                                           .measurement = &made->measurement,
                                           .measured = &made->measurement.charts[0],
                                           .names = &made->names,
                                           .card = "invented card",
                                           .chart = "spring"};
}

static inline struct inventory *open_inventory(void)
{
    struct inventory *inventory = NULL;
    struct error error = {0};

    if (inventory_open(path, INVENTORY_CREATE, &inventory, &error))
        fail_msg("%s", error.message);
    return inventory;
}

static inline void store(struct inventory *inventory, const struct inventory_entry *entry)
{
    struct inventory_outcome outcome;
    struct error error = {0};

    if (inventory_store(inventory, entry, 1, &outcome, &error))
        fail_msg("%s", error.message);
}

static inline struct inventory_readings readings_of(struct inventory *inventory, const char *ink)
{
    struct inventory_readings readings = {0};
    struct error error = {0};

    if (inventory_read_readings(inventory, ink, &readings, &error))
        fail_msg("%s", error.message);
    return readings;
}

static inline size_t count_readings(struct inventory *inventory, const char *ink)
{
    struct inventory_readings readings = readings_of(inventory, ink);
    size_t count = readings.count;

    inventory_readings_release(&readings);
    return count;
}

static inline size_t count_swatches(struct inventory *inventory, const char *ink)
{
    struct inventory_readings readings = readings_of(inventory, ink);
    size_t count = 0;

    for (size_t i = 0; i < readings.count; i++) {
        bool seen = false;

        for (size_t j = 0; j < i; j++)
            seen = seen || readings.items[j].swatch_id == readings.items[i].swatch_id;
        count += !seen;
    }
    inventory_readings_release(&readings);
    return count;
}

#define TEST(name) cmocka_unit_test_teardown(name, remove_inventory)

#endif
