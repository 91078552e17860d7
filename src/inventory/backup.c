#include "inventory/backup.h"

#include "copies.h"
#include "database.h"

#include <errno.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>

static enum status look_up(struct inventory *inventory, const char *sql, long long *number,
                           struct error *error)
{
    const struct query query = {sql, NULL, 0};

    return database_lookup(inventory, &query, number, error);
}

/* --- verify --------------------------------------------------------------------------------- */

static enum status check_whole(struct inventory *inventory, struct error *error)
{
    const struct query query = {"PRAGMA integrity_check(1)", NULL, 0};
    sqlite3_stmt *statement = NULL;
    bool row = false;
    enum status status = database_prepare(inventory, &query, &statement, error);

    if (!status)
        status = database_step(inventory, statement, &row, error);
    if (row && strcmp((const char *)sqlite3_column_text(statement, 0), "ok") != 0)
        status = error_set(error, STATUS_INVENTORY,
                           "%s: the file is damaged (%.300s); take a copy of it, and bring back a "
                           "backup with 'woad inventory restore'",
                           inventory->path, sqlite3_column_text(statement, 0));
    sqlite3_finalize(statement);
    return status;
}

static enum status check_belonging(struct inventory *inventory, struct error *error)
{
    long long lost = 0;
    enum status status =
        look_up(inventory, "SELECT count(*) FROM pragma_foreign_key_check", &lost, error);

    if (status || !lost)
        return status;
    return error_set(error, STATUS_INVENTORY,
                     "%s: %lld rows belong to what is not there, so something else than woad "
                     "changed the file; bring back a backup with 'woad inventory restore'",
                     inventory->path, lost);
}

enum status inventory_verify(struct inventory *inventory, struct inventory_content *content,
                             struct error *error)
{
    enum status status = check_whole(inventory, error);

    if (!status)
        status = check_belonging(inventory, error);
    if (!status)
        status = look_up(inventory, "SELECT count(*) FROM photo", &content->photos, error);
    if (!status)
        status = look_up(inventory, "SELECT count(*) FROM reading", &content->readings, error);
    if (!status)
        status =
            look_up(inventory, "SELECT count(*) FROM combination", &content->combinations, error);
    return status;
}

/* --- backup --------------------------------------------------------------------------------- */

enum status inventory_backup(struct inventory *inventory, const char *path, struct error *error)
{
    return copies_write(inventory, path, error);
}

/* --- restore -------------------------------------------------------------------------------- */

static enum status check_made_by_woad(struct inventory *backup, struct error *error)
{
    long long application = 0, version = 0;
    enum status status = look_up(backup, "PRAGMA application_id", &application, error);

    if (!status)
        status = look_up(backup, "PRAGMA user_version", &version, error);
    if (status)
        return status;
    if (application != SCHEMA_APPLICATION_ID)
        return error_set(error, STATUS_INVENTORY,
                         "%s: is no backup of an inventory; name a file that 'woad inventory "
                         "backup' wrote",
                         backup->path);
    if (version > schema_version)
        return error_set(error, STATUS_INVENTORY,
                         "%s: was made by a newer woad (tables %lld, this one knows %d); install "
                         "the newer woad",
                         backup->path, version, schema_version);
    return STATUS_OK;
}

/* Open a backup to be read alone. */
static enum status open_backup(const char *inventory_path, struct inventory *backup,
                               struct error *error)
{
    struct stat there, here;

    if (stat(backup->path, &there))
        return error_set(error, STATUS_FILE,
                         "%s: the backup can't be read (%s); name a file that 'woad inventory "
                         "backup' wrote",
                         backup->path, strerror(errno));
    if (stat(inventory_path, &here) == 0 && here.st_dev == there.st_dev &&
        here.st_ino == there.st_ino)
        return error_set(error, STATUS_FILE,
                         "%s: is the inventory itself; name the backup to bring back",
                         backup->path);
    if (sqlite3_open_v2(backup->path, &backup->connection, SQLITE_OPEN_READONLY, NULL) != SQLITE_OK)
        return database_fail(backup, "the backup can't be opened", error);
    return STATUS_OK;
}

static enum status copy_pages(struct inventory *inventory, struct inventory *backup,
                              struct error *error)
{
    sqlite3_backup *copy =
        sqlite3_backup_init(inventory->connection, "main", backup->connection, "main");
    int code = copy ? sqlite3_backup_step(copy, -1) : SQLITE_ERROR;

    if (sqlite3_backup_finish(copy) == SQLITE_OK && code == SQLITE_DONE)
        return STATUS_OK;
    return database_fail(inventory, "the backup can't be brought back", error);
}

enum status inventory_restore(const char *inventory_path, const char *path,
                              char kept[INVENTORY_PATH_SIZE], struct error *error)
{
    struct inventory backup = {0}, *inventory = NULL;
    enum status status;

    kept[0] = '\0';
    snprintf(backup.path, sizeof backup.path, "%s", path);
    status = open_backup(inventory_path, &backup, error);
    if (!status)
        status = check_made_by_woad(&backup, error);
    if (!status)
        status = check_whole(&backup, error);
    if (!status)
        status = check_belonging(&backup, error);
    if (!status)
        status = inventory_open(inventory_path, INVENTORY_CREATE, &inventory, error);
    if (!status)
        status = copies_keep(inventory, kept, error);
    if (!status)
        status = copy_pages(inventory, &backup, error);
    inventory_close(inventory);
    database_close(&backup);
    return status;
}

/* --- move ----------------------------------------------------------------------------------- */

static enum status check_copy(const char *path, struct error *error)
{
    struct inventory_content content = {0};
    struct inventory *copy = NULL;
    enum status status = inventory_open(path, INVENTORY_WRITE, &copy, error);

    if (!status)
        status = inventory_verify(copy, &content, error);
    inventory_close(copy);
    return status;
}

/* Copy it, and let nobody write while it is made sure that nobody did, and the file goes aside. */
static enum status move_aside(struct inventory *inventory, const char *path, const char *kept,
                              struct error *error)
{
    long long before = 0, after = 0;
    enum status status = look_up(inventory, "PRAGMA data_version", &before, error);

    if (!status)
        status = copies_write(inventory, path, error);
    if (!status)
        status = check_copy(path, error);
    if (!status)
        status = database_run(inventory, "BEGIN IMMEDIATE", error);
    if (!status)
        status = look_up(inventory, "PRAGMA data_version", &after, error);
    if (!status && before != after)
        status = error_set(error, STATUS_INVENTORY,
                           "%s: was written meanwhile; the copy at %s lacks that: delete it, and "
                           "move again",
                           inventory->path, path);
    if (!status && rename(inventory->path, kept))
        status = error_set(error, STATUS_FILE,
                           "%s: can't be put aside as %s (%s); %s is a whole copy, and both can "
                           "be used",
                           inventory->path, kept, strerror(errno), path);
    return status;
}

enum status inventory_move(const char *inventory_path, const char *path,
                           char kept[INVENTORY_PATH_SIZE], struct error *error)
{
    struct inventory *inventory = NULL;
    enum status status = inventory_open(inventory_path, INVENTORY_WRITE, &inventory, error);

    if (!status) /* all of it in the one file, so that this can be put aside alone */
        status = database_run(inventory, "PRAGMA journal_mode = DELETE", error);
    if (!status)
        status = copies_place(inventory_path, kept, error);
    if (!status)
        status = move_aside(inventory, path, kept, error);
    inventory_close(inventory);
    return status;
}
