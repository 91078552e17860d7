#include "inventory/inventory.h"

#include <setjmp.h>
#include <signal.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#include <cmocka.h>

/* The tests keep a folder of their own; each begins with no inventory. The other
 * databases it needs are made with the sqlite3 shell, a package of `make check`. */
static char folder[] = "inventory-test-XXXXXX";
static char path[96];

static int make_folder(void **state)
{
    (void)state;
    if (!mkdtemp(folder))
        return -1;
    snprintf(path, sizeof path, "%s/inventory.db", folder);
    return 0;
}

static int remove_folder(void **state)
{
    (void)state;
    return rmdir(folder);
}

static int remove_inventory(void **state)
{
    static const char *const endings[] = {"", "-wal", "-shm", "-journal"};
    char file[128];

    (void)state;
    for (int i = 0; i < 4; i++) {
        snprintf(file, sizeof file, "%s%s", path, endings[i]);
        unlink(file);
    }
    return 0;
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

static void fill_reading(struct reading *reading, int row, int column, int columns)
{
    double number = (row - 1) * columns + column;

    *reading = (struct reading){.row = row,
                                .column = column,
                                .found = CELL_INK,
                                .lab = {30 + number / 10, -5, number / 7},
                                .u95 = 1.25,
                                .evenness = 0.5};
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++) {
            reading->covariance_shared[3 * i + j] = (i + 1) * (j + 1) * 0.01;
            reading->covariance_own[3 * i + j] = (i + j) * 0.001;
        }
}

/* A sheet of `rows` x `columns` cells, their inks named "Ink 1", "Ink 2" and on. */
static void make(struct made *made, const char *hash, int rows, int columns)
{
    memset(made, 0, sizeof *made);
    snprintf(made->photo.path, sizeof made->photo.path, "%s.jpg", hash);
    snprintf(made->photo.hash, sizeof made->photo.hash, "%s", hash);
    made->photo.taken = (struct photo_time){PHOTO_TIME_EXIF, 1777796400, 120, true};
    snprintf(made->measurement.quality.method, sizeof made->measurement.quality.method, "matrix");
    made->measurement.chart.rows = rows;
    made->measurement.chart.columns = columns;
    made->measurement.readings = made->readings;
    made->names = (struct names){rows, columns, made->cells};
    for (int i = 0; i < rows * columns; i++) {
        fill_reading(&made->readings[i], i / columns + 1, i % columns + 1, columns);
        snprintf(made->cells[i].ink, sizeof made->cells[i].ink, "Ink %d", i + 1);
    }
    made->entry = (struct inventory_entry){.photo = &made->photo,
                                           .measurement = &made->measurement,
                                           .names = &made->names,
                                           .card = "invented card",
                                           .chart = "spring"};
}

static struct inventory *open_inventory(void)
{
    struct inventory *inventory = NULL;
    struct error error = {0};

    if (inventory_open(path, INVENTORY_CREATE, &inventory, &error))
        fail_msg("%s", error.message);
    return inventory;
}

static void store(struct inventory *inventory, const struct inventory_entry *entry)
{
    struct inventory_outcome outcome;
    struct error error = {0};

    if (inventory_store(inventory, entry, &outcome, &error))
        fail_msg("%s", error.message);
}

static struct inventory_readings readings_of(struct inventory *inventory, const char *ink)
{
    struct inventory_readings readings = {0};
    struct error error = {0};

    if (inventory_read_readings(inventory, ink, &readings, &error))
        fail_msg("%s", error.message);
    return readings;
}

static size_t count_readings(struct inventory *inventory, const char *ink)
{
    struct inventory_readings readings = readings_of(inventory, ink);
    size_t count = readings.count;

    inventory_readings_release(&readings);
    return count;
}

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

static void unnamed_cells_of_different_charts_stay_apart(void **state)
{
    struct inventory *inventory = open_inventory();
    struct made made;

    (void)state;
    make(&made, "aa", 1, 2);
    made.entry.names = NULL;
    store(inventory, &made.entry);
    make(&made, "bb", 1, 2);
    made.entry.names = NULL;
    made.entry.chart = "autumn";
    store(inventory, &made.entry);
    assert_int_equal(count_readings(inventory, "spring A1"), 1);
    assert_int_equal(count_readings(inventory, "autumn A1"), 1);
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

static size_t count_swatches(struct inventory *inventory, const char *ink)
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
    store(inventory, &made.entry);
    assert_int_equal(count_swatches(inventory, "Ink 1"), 4);
    make(&made, "five", 1, 1);
    snprintf(made.cells[0].ink, sizeof made.cells[0].ink, "Other Ink");
    store(inventory, &made.entry);
    assert_int_equal(count_swatches(inventory, "Ink 1"), 4);
    assert_int_equal(count_swatches(inventory, "Other Ink"), 1);
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
    assert_int_equal(inventory_store(inventory, &made.entry, &outcome, &error), STATUS_INVENTORY);
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
    assert_int_equal(inventory_store(inventory, &made.entry, &outcome, &error), STATUS_INVENTORY);
    assert_non_null(strstr(error.message, "--again"));
    assert_int_equal(count_readings(inventory, NULL), 2);
    made.entry.again = true;
    assert_int_equal(inventory_store(inventory, &made.entry, &outcome, &error), STATUS_OK);
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
    assert_int_equal(inventory_store(inventory, &made.entry, &outcome, &error), STATUS_INVENTORY);
    assert_int_equal(count_readings(inventory, NULL), 0);
    made.readings[3].row = 2;
    store(inventory, &made.entry); /* the photo is not known, so it needs no --again */
    assert_int_equal(count_readings(inventory, NULL), 4);
    inventory_close(inventory);
}

/* --- several at once, and killed ------------------------------------------------------------ */

/* Store photos until `photos` are stored, in a process of its own, telling each at `told` (-1:
 * nowhere); never returns. */
static void write_photos(const char *name, int photos, int side, int told)
{
    struct inventory *inventory = NULL;
    struct inventory_outcome outcome;
    static struct made made;
    struct error error;
    char hash[33];
    enum status status = inventory_open(path, INVENTORY_CREATE, &inventory, &error);

    for (int i = 0; !status && i < photos; i++) {
        snprintf(hash, sizeof hash, "%s-%d", name, i);
        make(&made, hash, side, side);
        status = inventory_store(inventory, &made.entry, &outcome, &error);
        if (told >= 0 && write(told, ".", 1) != 1)
            break;
    }
    if (status)
        fprintf(stderr, "%s\n", error.message);
    inventory_close(inventory);
    _exit((int)status);
}

enum { WRITERS = 4, PHOTOS = 5, ROUNDS = 6 };

static void start_writers_and_wait(void)
{
    pid_t writer[WRITERS];

    for (int i = 0; i < WRITERS; i++) {
        char name[16];

        snprintf(name, sizeof name, "writer%d", i);
        writer[i] = fork();
        assert_true(writer[i] >= 0);
        if (writer[i] == 0)
            write_photos(name, PHOTOS, 3, -1);
    }
    for (int i = 0; i < WRITERS; i++) {
        int ending;

        assert_int_equal(waitpid(writer[i], &ending, 0), writer[i]);
        assert_true(WIFEXITED(ending));
        assert_int_equal(WEXITSTATUS(ending), STATUS_OK);
    }
}

/* Each round begins without an inventory, so that they also meet while making it. */
static void writers_at_once_lose_no_row(void **state)
{
    for (int i = 0; i < ROUNDS; i++) {
        struct inventory *inventory;

        remove_inventory(state);
        start_writers_and_wait();
        inventory = open_inventory();
        assert_int_equal(count_readings(inventory, NULL), WRITERS * PHOTOS * 9);
        assert_int_equal(count_readings(inventory, "Ink 7"), WRITERS * PHOTOS);
        assert_int_equal(count_swatches(inventory, "Ink 7"), 1);
        inventory_close(inventory);
    }
}

/* Wait until the writer has stored a photo and is somewhere in the next, then kill it. */
static void kill_after_first(pid_t writer, int told, long microseconds)
{
    struct timespec pause = {0, microseconds * 1000};
    char byte;
    int ending;

    assert_int_equal(read(told, &byte, 1), 1);
    nanosleep(&pause, NULL);
    kill(writer, SIGKILL);
    assert_int_equal(waitpid(writer, &ending, 0), writer);
    assert_true(WIFSIGNALED(ending));
}

static void write_and_kill(int trial)
{
    int ends[2];
    char name[16];
    pid_t writer;

    snprintf(name, sizeof name, "trial%d", trial);
    assert_int_equal(pipe(ends), 0);
    writer = fork();
    assert_true(writer >= 0);
    if (writer == 0)
        write_photos(name, 1000, 20, ends[1]);
    close(ends[1]);
    kill_after_first(writer, ends[0], 700L * trial);
    close(ends[0]);
}

static void a_writer_killed_at_any_instant_leaves_whole_photos(void **state)
{
    enum { TRIALS = 20, CELLS = 400 };
    size_t stored = 0;

    (void)state;
    for (int i = 0; i < TRIALS; i++) {
        struct inventory *inventory;
        size_t count;

        write_and_kill(i);
        inventory = open_inventory();
        count = count_readings(inventory, NULL);
        assert_int_equal(count % CELLS, 0);
        assert_true(count >= stored + CELLS);
        stored = count;
        inventory_close(inventory);
    }
}

/* --- where and what it is ------------------------------------------------------------------- */

static void expect_refusal(const char *file, enum inventory_mode mode, const char *part)
{
    struct inventory *inventory = NULL;
    struct error error = {0};

    assert_int_equal(inventory_open(file, mode, &inventory, &error), STATUS_INVENTORY);
    assert_null(inventory);
    assert_non_null(strstr(error.message, file));
    if (!strstr(error.message, part))
        fail_msg("'%s' does not say '%s'", error.message, part);
}

static void write_file(const char *bytes)
{
    FILE *file = fopen(path, "wb");

    assert_non_null(file);
    fputs(bytes, file);
    fclose(file);
}

static void expect_file(const char *bytes)
{
    char content[256] = {0};
    FILE *file = fopen(path, "rb");

    assert_non_null(file);
    assert_true(fread(content, 1, sizeof content - 1, file) < sizeof content);
    fclose(file);
    assert_string_equal(content, bytes);
}

static void a_file_that_is_no_database_is_refused_and_kept(void **state)
{
    static const char letter[] = "Dear secretary, the seed packets are all stamped by now.\n";

    (void)state;
    write_file(letter);
    expect_refusal(path, INVENTORY_CREATE, "no SQLite file");
    expect_refusal(path, INVENTORY_READ, "no SQLite file");
    expect_file(letter);
    write_file("short");
    expect_refusal(path, INVENTORY_CREATE, "no SQLite file");
    expect_file("short");
}

static void a_damaged_database_is_refused(void **state)
{
    FILE *file = fopen(path, "wb");
    char noise[4096];

    (void)state;
    memset(noise, 0x5A, sizeof noise);
    memcpy(noise, "SQLite format 3", 16);
    assert_int_equal(fwrite(noise, 1, sizeof noise, file), sizeof noise);
    fclose(file);
    expect_refusal(path, INVENTORY_CREATE, "damaged");
}

static void run_sql(const char *sql)
{
    char line[256];

    snprintf(line, sizeof line, "sqlite3 %s \"%s\"", path, sql);
    assert_int_equal(system(line), 0);
}

static long long checksum(void)
{
    FILE *file = fopen(path, "rb");
    long long sum = 0;

    for (int byte = fgetc(file); byte != EOF; byte = fgetc(file))
        sum = (sum * 31 + byte) % 1000000007;
    fclose(file);
    return sum;
}

static void another_programs_database_is_refused_and_kept(void **state)
{
    long long before;

    (void)state;
    run_sql("CREATE TABLE letters (text); INSERT INTO letters VALUES ('seeds')");
    before = checksum();
    expect_refusal(path, INVENTORY_CREATE, "another program's");
    assert_int_equal(checksum(), before);
    remove_inventory(NULL);
    run_sql("PRAGMA application_id = 99; VACUUM");
    before = checksum();
    expect_refusal(path, INVENTORY_CREATE, "another program's");
    assert_int_equal(checksum(), before);
}

static void an_inventory_of_a_newer_woad_is_refused_and_kept(void **state)
{
    long long before;

    (void)state;
    inventory_close(open_inventory());
    run_sql("PRAGMA user_version = 1000");
    before = checksum();
    expect_refusal(path, INVENTORY_CREATE, "newer woad");
    expect_refusal(path, INVENTORY_READ, "tables 1000");
    assert_int_equal(checksum(), before);
}

static void readings_can_not_be_overwritten_by_any_program(void **state)
{
    struct inventory *inventory = open_inventory();
    struct made made;
    char line[256];

    (void)state;
    make(&made, "aa", 1, 1);
    store(inventory, &made.entry);
    inventory_close(inventory);
    snprintf(line, sizeof line, "sqlite3 %s 'UPDATE reading SET L = 1' 2>%s/said", path, folder);
    assert_int_not_equal(system(line), 0);
    snprintf(line, sizeof line, "%s/said", folder);
    unlink(line);
}

static void an_opened_inventory_is_a_write_ahead_log_of_woads(void **state)
{
    FILE *pipe;
    char line[256], said[64] = {0};

    (void)state;
    inventory_close(open_inventory());
    snprintf(line, sizeof line,
             "sqlite3 %s 'PRAGMA journal_mode; PRAGMA application_id; PRAGMA integrity_check'",
             path);
    pipe = popen(line, "r");
    assert_non_null(pipe);
    assert_true(fread(said, 1, sizeof said - 1, pipe) > 0);
    pclose(pipe);
    assert_string_equal(said, "wal\n1464811844\nok\n");
}

static void reading_makes_no_inventory(void **state)
{
    struct stat about;

    (void)state;
    expect_refusal(path, INVENTORY_READ, "no inventory yet");
    assert_int_not_equal(stat(path, &about), 0);
}

static void folders_are_made_on_first_use_only(void **state)
{
    struct inventory *inventory = NULL;
    struct error error = {0};
    struct stat about;
    char deep[128], middle[128];

    (void)state;
    snprintf(middle, sizeof middle, "%s/deep", folder);
    snprintf(deep, sizeof deep, "%s/deep/inventory.db", folder);
    assert_int_equal(inventory_check(deep, &error), STATUS_OK);
    assert_int_not_equal(stat(middle, &about), 0);
    assert_int_equal(inventory_open(deep, INVENTORY_CREATE, &inventory, &error), STATUS_OK);
    inventory_close(inventory);
    assert_int_equal(unlink(deep), 0);
    assert_int_equal(rmdir(middle), 0);
}

static void a_place_that_can_not_be_is_told_beforehand(void **state)
{
    struct error error = {0};
    char below[128];

    (void)state;
    write_file("");
    snprintf(below, sizeof below, "%s/inventory.db", path);
    assert_int_equal(inventory_check(below, &error), STATUS_INVENTORY);
    expect_refusal(folder, INVENTORY_CREATE, "is a folder");
}

static void expect_location(const char *given, const char *expected)
{
    char found[INVENTORY_PATH_SIZE];
    struct error error;

    assert_int_equal(inventory_location(given, found, &error), STATUS_OK);
    assert_string_equal(found, expected);
}

static void the_option_goes_before_the_environment(void **state)
{
    char found[INVENTORY_PATH_SIZE];
    struct error error;

    (void)state;
    setenv("WOAD_INVENTORY", "w.db", 1);
    setenv("XDG_DATA_HOME", "/data", 1);
    setenv("HOME", "/home/someone", 1);
    expect_location("given.db", "given.db");
    expect_location(NULL, "w.db");
    setenv("WOAD_INVENTORY", "", 1);
    expect_location(NULL, "/data/woad/inventory.db");
    setenv("XDG_DATA_HOME", "relative", 1); /* the standard has such a value ignored */
    expect_location(NULL, "/home/someone/.local/share/woad/inventory.db");
    unsetenv("HOME");
    assert_int_equal(inventory_location(NULL, found, &error), STATUS_USAGE);
}

#define TEST(name) cmocka_unit_test_teardown(name, remove_inventory)

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST(what_is_stored_comes_back_whole),
        TEST(unreadable_and_blank_cells_are_kept_as_such),
        TEST(unnamed_cells_of_different_charts_stay_apart),
        TEST(inks_show_their_latest_reading_by_the_time_taken),
        TEST(a_named_ink_never_read_is_listed_without_colour),
        TEST(the_same_chart_again_adds_readings_to_its_swatches),
        TEST(another_batch_paper_inking_or_ink_is_another_swatch),
        TEST(a_chart_of_another_shape_is_refused),
        TEST(the_same_photo_is_refused_unless_again_is_said),
        TEST(a_reading_that_breaks_a_rule_takes_its_whole_photo_with_it),
        TEST(writers_at_once_lose_no_row),
        TEST(a_writer_killed_at_any_instant_leaves_whole_photos),
        TEST(a_file_that_is_no_database_is_refused_and_kept),
        TEST(a_damaged_database_is_refused),
        TEST(another_programs_database_is_refused_and_kept),
        TEST(an_inventory_of_a_newer_woad_is_refused_and_kept),
        TEST(readings_can_not_be_overwritten_by_any_program),
        TEST(an_opened_inventory_is_a_write_ahead_log_of_woads),
        TEST(reading_makes_no_inventory),
        TEST(folders_are_made_on_first_use_only),
        TEST(a_place_that_can_not_be_is_told_beforehand),
        TEST(the_option_goes_before_the_environment),
    };

    return cmocka_run_group_tests(tests, make_folder, remove_folder);
}
