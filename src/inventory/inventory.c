#include "inventory/inventory.h"

#include "base/memory.h"
#include "copies.h"
#include "database.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#define BUSY_MILLISECONDS 20000
#define BUSY_PAUSE_MILLISECONDS 20
#define FILE_MAGIC "SQLite format 3" /* and its final zero: the first 16 bytes of every file */

/* --- where it lies -------------------------------------------------------------------------- */

static const char *environment(const char *name)
{
    const char *value = getenv(name);

    return value && *value ? value : NULL;
}

enum status inventory_location(const char *given, char path[INVENTORY_PATH_SIZE],
                               struct error *error)
{
    const char *data = environment("XDG_DATA_HOME");
    const char *home = environment("HOME");
    int length;

    given = given ? given : environment("WOAD_INVENTORY");
    if (given)
        length = snprintf(path, INVENTORY_PATH_SIZE, "%s", given);
    else if (data && data[0] == '/')
        length = snprintf(path, INVENTORY_PATH_SIZE, "%s/woad/inventory.db", data);
    else if (home)
        length = snprintf(path, INVENTORY_PATH_SIZE, "%s/.local/share/woad/inventory.db", home);
    else
        return error_set(error, STATUS_USAGE,
                         "no place for the inventory is known, for HOME is not set; name a file "
                         "with --inventory");
    if (length >= INVENTORY_PATH_SIZE)
        return error_set(error, STATUS_USAGE,
                         "the inventory's path is longer than %d bytes; name a shorter one with "
                         "--inventory",
                         INVENTORY_PATH_SIZE - 1);
    return STATUS_OK;
}

/* --- looking before touching ---------------------------------------------------------------- */

static enum status make_folders(const char *path, struct error *error)
{
    char folder[INVENTORY_PATH_SIZE];

    for (size_t i = 1; path[i]; i++) {
        if (path[i] != '/')
            continue;
        memcpy(folder, path, i);
        folder[i] = '\0';
        if (mkdir(folder, 0777) && errno != EEXIST)
            return error_set(error, STATUS_INVENTORY,
                             "%s: the folder %s can't be made for the inventory (%s); name a "
                             "file in a folder you may write with --inventory",
                             path, folder, strerror(errno));
    }
    return STATUS_OK;
}

/* `empty`: what an empty file counts for. Read once, for another process may be making it. */
static bool begins_as_database(FILE *file, bool empty)
{
    char magic[sizeof FILE_MAGIC] = {0};
    size_t length = fread(magic, 1, sizeof magic, file);

    return length ? length == sizeof magic && memcmp(magic, FILE_MAGIC, sizeof magic) == 0 : empty;
}

bool inventory_is_one(const char *path)
{
    struct stat about;
    FILE *file = !stat(path, &about) && S_ISREG(about.st_mode) ? fopen(path, "rb") : NULL;
    bool is_one = file && begins_as_database(file, false);

    if (file)
        fclose(file);
    return is_one;
}

static enum status refuse_other_content(const char *path, struct error *error)
{
    FILE *file = fopen(path, "rb");
    bool fine;

    if (!file)
        return error_set(error, STATUS_INVENTORY,
                         "%s: the inventory can't be opened (%s); check its rights, or name "
                         "another with --inventory",
                         path, strerror(errno));
    fine = begins_as_database(file, true);
    fclose(file);
    if (fine)
        return STATUS_OK;
    return error_set(error, STATUS_INVENTORY,
                     "%s: is no inventory, for it is no SQLite file; it was left as it is: name "
                     "another file with --inventory",
                     path);
}

static enum status look_at_file(const char *path, enum inventory_mode mode, struct error *error)
{
    struct stat about;

    if (stat(path, &about) == 0) {
        if (S_ISREG(about.st_mode))
            return refuse_other_content(path, error);
        return error_set(error, STATUS_INVENTORY,
                         "%s: is %s, the inventory is a file; name one with --inventory", path,
                         S_ISDIR(about.st_mode) ? "a folder" : "no plain file");
    }
    if (errno != ENOENT)
        return error_set(error, STATUS_INVENTORY,
                         "%s: the inventory can't be reached (%s); name another with --inventory",
                         path, strerror(errno));
    if (mode == INVENTORY_CREATE)
        return make_folders(path, error);
    return error_set(error, STATUS_INVENTORY,
                     "%s: there is no inventory yet; 'woad measure' makes it, or name another "
                     "with --inventory",
                     path);
}

/* --- opening -------------------------------------------------------------------------------- */

static enum status look_up(struct inventory *inventory, const char *sql, long long *number,
                           struct error *error)
{
    struct query query = {sql, NULL, 0};

    return database_lookup(inventory, &query, number, error);
}

/* Read how far the tables have come; refuse what is another program's or a newer woad's. The caller
 * holds a transaction, for another process may be making the tables between two of the questions.
 */
static enum status read_version(struct inventory *inventory, long long *version,
                                struct error *error)
{
    long long application = 0, tables = 0;
    enum status status = look_up(inventory, "PRAGMA application_id", &application, error);

    if (!status)
        status = look_up(inventory, "PRAGMA user_version", version, error);
    if (!status)
        status = look_up(inventory, "SELECT count(*) FROM sqlite_schema", &tables, error);
    if (status)
        return status;
    if (application != SCHEMA_APPLICATION_ID && (application || *version || tables))
        return error_set(error, STATUS_INVENTORY,
                         "%s: is another program's database, no inventory; it was left as it is: "
                         "name another file with --inventory",
                         inventory->path);
    if (*version > schema_version)
        return error_set(error, STATUS_INVENTORY,
                         "%s: was made by a newer woad (tables %lld, this one knows %d); it was "
                         "left as it is: install the newer woad, or name another file with "
                         "--inventory",
                         inventory->path, *version, schema_version);
    return STATUS_OK;
}

static enum status run_step(struct inventory *inventory, long long step, struct error *error)
{
    char settings[96];
    enum status status = database_run(inventory, schema_steps[step], error);

    snprintf(settings, sizeof settings, "PRAGMA application_id = %d; PRAGMA user_version = %lld",
             SCHEMA_APPLICATION_ID, step + 1);
    return status ? status : database_run(inventory, settings, error);
}

static enum status read_version_once(struct inventory *inventory, long long *version,
                                     struct error *error)
{
    enum status status = database_run(inventory, "BEGIN", error);

    if (!status)
        status = read_version(inventory, version, error);
    return database_end(inventory, status, error);
}

/* All steps at once, so that nobody meets tables half way. The version is read again once the right
 * to write is had: another process may have been first. */
static enum status migrate_without_copy(struct inventory *inventory, struct error *error)
{
    long long version = 0;
    enum status status = read_version_once(inventory, &version, error);

    if (status || version == schema_version)
        return status;
    status = database_begin(inventory, error);
    if (status)
        return status;
    status = read_version(inventory, &version, error);
    for (; !status && version < schema_version; version++)
        status = run_step(inventory, version, error);
    return database_end(inventory, status, error);
}

static enum status migrate(struct inventory *inventory, struct error *error)
{
    char kept[INVENTORY_PATH_SIZE];
    long long version = 0;
    enum status status = read_version_once(inventory, &version, error);

    if (!status && version > 0 && version < schema_version)
        status = copies_keep(inventory, kept, error);
    return status ? status : migrate_without_copy(inventory, error);
}

/* SQLite does not wait by itself where the change of journal meets another connection. */
static enum status use_write_ahead_log(struct inventory *inventory, struct error *error)
{
    enum status status = database_run(inventory, "PRAGMA journal_mode = WAL", error);

    for (int waited = 0; status && waited < BUSY_MILLISECONDS; waited += BUSY_PAUSE_MILLISECONDS) {
        if ((sqlite3_errcode(inventory->connection) & 0xFF) != SQLITE_BUSY)
            return status;
        sqlite3_sleep(BUSY_PAUSE_MILLISECONDS);
        status = database_run(inventory, "PRAGMA journal_mode = WAL", error);
    }
    return status;
}

static enum status refuse_read_only(struct inventory *inventory, struct error *error)
{
    if (!sqlite3_db_readonly(inventory->connection, "main"))
        return STATUS_OK;
    return error_set(error, STATUS_INVENTORY,
                     "%s: the inventory can be read but not written; check the rights of the "
                     "file, or name another with --inventory",
                     inventory->path);
}

static enum status connect_file(struct inventory *inventory, enum inventory_mode mode,
                                struct error *error)
{
    int flags = SQLITE_OPEN_READWRITE | (mode == INVENTORY_CREATE ? SQLITE_OPEN_CREATE : 0);
    char name[INVENTORY_PATH_SIZE + 2];
    enum status status = STATUS_OK;

    /* SQLite has names of its own, such as ":memory:", which are files' to us */
    snprintf(name, sizeof name, "%s%s", inventory->path[0] == '/' ? "" : "./", inventory->path);
    if (sqlite3_open_v2(name, &inventory->connection, flags, NULL) != SQLITE_OK)
        return database_fail(inventory, "the inventory can't be opened", error);
    sqlite3_busy_timeout(inventory->connection, BUSY_MILLISECONDS);
    status = database_add_fold(inventory, error);
    if (!status && mode != INVENTORY_READ)
        status = refuse_read_only(inventory, error);
    if (!status)
        status = migrate(inventory, error);
    if (!status && !sqlite3_db_readonly(inventory->connection, "main"))
        status = use_write_ahead_log(inventory, error);
    if (!status)
        status = database_run(inventory, "PRAGMA foreign_keys = ON", error);
    return status;
}

/* --- what can only be read ------------------------------------------------------------------ */

/* Whether SQLite could not even leave its notes beside the file: a snapshot, a backup on a disc. */
static bool is_set_in_stone(const char *path)
{
    char folder[INVENTORY_PATH_SIZE];
    struct stat about;
    char *slash;

    snprintf(folder, sizeof folder, "%s", path);
    slash = strrchr(folder, '/');
    if (slash)
        slash[slash == folder] = '\0';
    return stat(path, &about) == 0 && (faccessat(AT_FDCWD, path, W_OK, AT_EACCESS) ||
                                       faccessat(AT_FDCWD, slash ? folder : ".", W_OK, AT_EACCESS));
}

/* "file:PATH?immutable=1", what is not plain in the path as %20. */
static void write_uri(const char *path, char *uri, size_t size)
{
    size_t length = (size_t)snprintf(uri, size, "file:%s", path[0] == '/' ? "" : "./");

    for (; *path && length + 4 < size; path++) {
        bool plain = strchr("/._-~", *path) || (*path >= '0' && *path <= '9') ||
                     (*path >= 'A' && *path <= 'Z') || (*path >= 'a' && *path <= 'z');

        length += (size_t)snprintf(uri + length, size - length, plain ? "%c" : "%%%02X",
                                   (unsigned char)*path);
    }
    snprintf(uri + length, size - length, "?immutable=1");
}

/* What has not been written into the file yet can't be read along with it. */
static enum status refuse_unwritten(const char *path, struct error *error)
{
    char log[INVENTORY_PATH_SIZE + 8];
    struct stat about;

    snprintf(log, sizeof log, "%s-wal", path);
    if (stat(log, &about) || about.st_size == 0)
        return STATUS_OK;
    return error_set(error, STATUS_INVENTORY,
                     "%s: its last changes lie in %s, and can't be joined to it where nothing can "
                     "be written; copy both to a folder you may write, and name the copy with "
                     "--inventory",
                     path, log);
}

/* Bring tables of an older woad up to date in memory, the file left as it is. */
static enum status read_into_memory(struct inventory *inventory, struct error *error)
{
    struct inventory file = *inventory;
    sqlite3_backup *copy = NULL;
    enum status status = STATUS_OK;

    memset(inventory->ready, 0, sizeof inventory->ready);
    inventory->connection = NULL;
    if (sqlite3_open_v2(":memory:", &inventory->connection,
                        SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE, NULL) == SQLITE_OK)
        copy = sqlite3_backup_init(inventory->connection, "main", file.connection, "main");
    if (copy)
        sqlite3_backup_step(copy, -1);
    if (!copy || sqlite3_backup_finish(copy) != SQLITE_OK)
        status = database_fail(inventory, "the inventory can't be read", error);
    database_close(&file);
    if (!status)
        status = database_add_fold(inventory, error);
    return status ? status : migrate_without_copy(inventory, error);
}

static enum status connect_to_read(struct inventory *inventory, struct error *error)
{
    char uri[3 * INVENTORY_PATH_SIZE + 32];
    long long version = 0;
    enum status status = refuse_unwritten(inventory->path, error);

    if (status)
        return status;
    write_uri(inventory->path, uri, sizeof uri);
    if (sqlite3_open_v2(uri, &inventory->connection, SQLITE_OPEN_READONLY | SQLITE_OPEN_URI,
                        NULL) != SQLITE_OK)
        return database_fail(inventory, "the inventory can't be opened", error);
    status = database_add_fold(inventory, error);
    if (!status)
        status = read_version_once(inventory, &version, error);
    if (!status && version < schema_version)
        status = read_into_memory(inventory, error);
    return status;
}

enum status inventory_open(const char *path, enum inventory_mode mode, struct inventory **inventory,
                           struct error *error)
{
    enum status status = look_at_file(path, mode, error);
    struct inventory *opened;

    *inventory = NULL;
    if (status)
        return status;
    opened = memory_array(1, sizeof *opened, "the inventory", error);
    if (!opened)
        return error->status;
    snprintf(opened->path, sizeof opened->path, "%s", path);
    status = mode == INVENTORY_READ && is_set_in_stone(path) ? connect_to_read(opened, error)
                                                             : connect_file(opened, mode, error);
    if (status)
        inventory_close(opened);
    else
        *inventory = opened;
    return status;
}

void inventory_close(struct inventory *inventory)
{
    if (!inventory)
        return;
    database_close(inventory);
    free(inventory);
}

/* The folder that is there already and would hold the inventory or the folders to be made. */
static void nearest_folder(const char *path, char folder[INVENTORY_PATH_SIZE])
{
    struct stat about;

    snprintf(folder, INVENTORY_PATH_SIZE, "%s", path);
    while (folder[0]) {
        char *slash = strrchr(folder, '/');

        if (!slash)
            break;
        slash[slash == folder] = '\0';
        if (slash == folder || stat(folder, &about) == 0)
            return;
    }
    snprintf(folder, INVENTORY_PATH_SIZE, ".");
}

enum status inventory_check(const char *path, struct error *error)
{
    char folder[INVENTORY_PATH_SIZE];
    struct inventory *inventory = NULL;
    struct stat about;
    enum status status = STATUS_OK;

    if (stat(path, &about) == 0 || errno != ENOENT) {
        status = inventory_open(path, INVENTORY_WRITE, &inventory, error);
        inventory_close(inventory);
        return status;
    }
    nearest_folder(path, folder);
    if (access(folder, W_OK))
        return error_set(error, STATUS_INVENTORY,
                         "%s: the inventory can't be made in %s (%s); name a file in a folder you "
                         "may write with --inventory",
                         path, folder, strerror(errno));
    return status;
}
