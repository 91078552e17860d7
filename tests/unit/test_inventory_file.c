#include "inventory/database.h"
#include "inventory/combinations.h"
#include "inventory_fixture.h"

#include <signal.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <time.h>

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
        status = inventory_store(inventory, &made.entry, 1, &outcome, &error);
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

/* What an inventory was before names were folded and swatches could wait for theirs. */
static void make_older(void)
{
    static const char rows[] =
        "INSERT INTO ink (id, name) VALUES (1, 'Leek 14'), (2, 'spring B2'), (3, 'spring A2');"
        "INSERT INTO batch (id, ink_id, label) VALUES (1, 1, 'pad two'), (2, 2, 'pad two');"
        "INSERT INTO chart VALUES (1, 'spring', 2, 2);"
        "INSERT INTO cell VALUES (1, 1, 1, 1), (2, 1, 2, 2);"
        "INSERT INTO swatch (id, cell_id, ink_id, batch_id) VALUES (1, 1, 1, 1), (2, 2, 2, 2);"
        "INSERT INTO photo VALUES (1, 1, 'aa', 1, 'aa.jpg', 1, 1, NULL, NULL, NULL, 'none', '', '',"
        " 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0);"
        "INSERT INTO reading (photo_id, cell_id, swatch_id, found, L, a, b, evenness, own_bb, "
        "flags)"
        " VALUES (1, 1, 1, 'ink', 50, 0, 0, 0.7, 4, 1), (1, 2, 2, 'ink', 60, 0, 0, 0.2, 0, 0);"
        "INSERT INTO blend VALUES (1, 1, 3, 0.25, NULL, 40, 5, 6, 1.5, 1, 'b.jpg', 'bb', 7, 60);"
        "PRAGMA application_id = 1464811844; PRAGMA user_version = 4;";
    sqlite3 *connection;

    assert_int_equal(sqlite3_open(path, &connection), SQLITE_OK);
    for (int i = 0; i < 4; i++)
        assert_int_equal(sqlite3_exec(connection, schema_steps[i], NULL, NULL, NULL), SQLITE_OK);
    assert_int_equal(sqlite3_exec(connection, rows, NULL, NULL, NULL), SQLITE_OK);
    sqlite3_close(connection);
}

static void inks_that_were_only_cells_without_a_name_are_none_any_more(void **state)
{
    struct inventory *inventory;
    struct inventory_readings readings;
    struct inventory_inks inks;
    struct error error;

    (void)state;
    make_older();
    inventory = open_inventory();
    assert_int_equal(inventory_read_inks(inventory, &inks, &error), STATUS_OK);
    assert_int_equal(inks.count, 2); /* an ink that is called like another cell is one */
    assert_string_equal(inks.items[0].name, "Leek 14");
    assert_string_equal(inks.items[1].name, "spring A2");
    readings = readings_of(inventory, NULL);
    assert_int_equal(readings.count, 2);
    assert_string_equal(readings.items[0].ink, "Leek 14");
    assert_null(readings.items[1].ink);
    assert_string_equal(readings.items[1].batch, "pad two");
    assert_int_equal(count_readings(inventory, "LEEK 14"), 1);
    inventory_readings_release(&readings);
    inventory_inks_release(&inks);
    inventory_close(inventory);
}

static void readings_and_blends_of_an_older_inventory_are_kept(void **state)
{
    struct inventory *inventory;
    struct inventory_readings readings;
    struct inventory_strips strips;
    struct error error;

    (void)state;
    make_older();
    inventory = open_inventory();
    readings = readings_of(inventory, NULL);
    assert_true(readings.items[0].reading.unevenness == 0.7);
    assert_true(readings.items[0].reading.covariance_own[8] == 4);
    assert_int_equal(readings.items[0].reading.flags, FLAG_CLIPPED);
    assert_true(readings.items[1].reading.lab.L == 60);
    assert_int_equal(inventory_read_strips(inventory, &strips, &error), STATUS_OK);
    assert_int_equal(strips.count, 1);
    assert_string_equal(strips.items[0].second, "spring A2");
    assert_string_equal(strips.items[0].photo, "b.jpg");
    assert_true(strips.items[0].taken.utc_seconds == 7);
    assert_true(strips.items[0].cells[0].second_share == 0.25);
    assert_true(strips.items[0].cells[0].lab.b == 6);
    inventory_strips_release(&strips);
    inventory_readings_release(&readings);
    inventory_close(inventory);
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
    setenv("HOME", "/someone", 1);
    expect_location("given.db", "given.db");
    expect_location(NULL, "w.db");
    setenv("WOAD_INVENTORY", "", 1);
    expect_location(NULL, "/data/woad/inventory.db");
    setenv("XDG_DATA_HOME", "relative", 1); /* the standard has such a value ignored */
    expect_location(NULL, "/someone/.local/share/woad/inventory.db");
    unsetenv("HOME");
    assert_int_equal(inventory_location(NULL, found, &error), STATUS_USAGE);
}

/* The folder and the file written by nobody; read by another than root, who may write everything.
 */
static int read_as_another(const char *under)
{
    struct inventory *inventory = NULL;
    struct inventory_inks inks = {0};
    struct error error = {0};
    pid_t reader;
    int ending;

    assert_int_equal(chmod(path, 0444) | chmod(under, 0555), 0);
    reader = fork();
    assert_true(reader >= 0);
    if (reader == 0) {
        if (geteuid() == 0 && seteuid(65534))
            _exit(99);
        if (inventory_open(path, INVENTORY_READ, &inventory, &error) ||
            inventory_read_inks(inventory, &inks, &error)) {
            fprintf(stderr, "%s\n", error.message);
            _exit(98);
        }
        _exit((int)inks.count);
    }
    assert_int_equal(waitpid(reader, &ending, 0), reader);
    assert_int_equal(chmod(under, 0755) | chmod(path, 0644), 0);
    return WEXITSTATUS(ending);
}

static void an_older_inventory_that_can_not_be_written_is_read_all_the_same(void **state)
{
    (void)state;
    make_older();
    assert_int_equal(read_as_another(folder), 2);
}

static void what_is_brought_up_to_date_is_kept_as_it_was(void **state)
{
    char copies[sizeof path + 16], command[2 * sizeof path + 64];

    (void)state;
    make_older();
    inventory_close(open_inventory());
    snprintf(copies, sizeof copies, "%s.copies", path);
    snprintf(command, sizeof command, "test \"$(sqlite3 '%s'/*.db 'PRAGMA user_version')\" = 4",
             copies);
    assert_int_equal(system(command), 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST(writers_at_once_lose_no_row),
        TEST(a_writer_killed_at_any_instant_leaves_whole_photos),
        TEST(a_file_that_is_no_database_is_refused_and_kept),
        TEST(a_damaged_database_is_refused),
        TEST(another_programs_database_is_refused_and_kept),
        TEST(an_inventory_of_a_newer_woad_is_refused_and_kept),
        TEST(inks_that_were_only_cells_without_a_name_are_none_any_more),
        TEST(readings_and_blends_of_an_older_inventory_are_kept),
        TEST(readings_can_not_be_overwritten_by_any_program),
        TEST(an_opened_inventory_is_a_write_ahead_log_of_woads),
        TEST(reading_makes_no_inventory),
        TEST(an_older_inventory_that_can_not_be_written_is_read_all_the_same),
        TEST(what_is_brought_up_to_date_is_kept_as_it_was),
        TEST(folders_are_made_on_first_use_only),
        TEST(a_place_that_can_not_be_is_told_beforehand),
        TEST(the_option_goes_before_the_environment),
    };

    return cmocka_run_group_tests(tests, make_folder, remove_folder);
}
