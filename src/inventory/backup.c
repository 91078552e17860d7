#include "inventory/backup.h"

#include "database.h"
#include "values/calendar.h"

#include <errno.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

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

static enum status refuse_there(const char *path, struct error *error)
{
    struct stat about;

    if (lstat(path, &about) == 0)
        return error_set(error, STATUS_FILE,
                         "%s: is there already, and a backup overwrites nothing; name a new file",
                         path);
    if (errno == ENOENT)
        return STATUS_OK;
    return error_set(error, STATUS_FILE,
                     "%s: can't be reached (%s); name a file in a folder you may write", path,
                     strerror(errno));
}

enum status inventory_backup(struct inventory *inventory, const char *path, struct error *error)
{
    char part[INVENTORY_PATH_SIZE + 32] = "";
    const struct bound bound = bound_text(part);
    const struct query copy = {"VACUUM INTO ?", &bound, 1};
    enum status status = refuse_there(path, error);

    if (status)
        return status;
    snprintf(part, sizeof part, "%s.%ld.part", path, (long)getpid());
    status = database_execute(inventory, &copy, error);
    if (status)
        status = error_set(error, STATUS_FILE,
                           "%s: the backup can't be written (%s); check that you may write the "
                           "folder and that the disk has room",
                           path, sqlite3_errmsg(inventory->connection));
    else if (rename(part, path))
        status = error_set(error, STATUS_FILE, "%s: the backup can't be named so (%s)", path,
                           strerror(errno));
    if (status)
        unlink(part);
    return status;
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

/* Keep what is to be replaced beside the inventory: inventory.db.before-2026-05-03-102000. */
static enum status keep_present(struct inventory *inventory, char kept[INVENTORY_PATH_SIZE],
                                struct error *error)
{
    const struct photo_time now = calendar_now();
    char stamp[CALENDAR_TEXT_SIZE];
    long long rows = 0;
    size_t length = 0;
    enum status status = look_up(inventory,
                                 "SELECT (SELECT count(*) FROM photo) + (SELECT count(*) FROM"
                                 " combination) + (SELECT count(*) FROM sheet)",
                                 &rows, error);

    if (status || !rows)
        return status;
    calendar_format(&now, stamp);
    for (size_t i = 0; stamp[i] && stamp[i] != '+' && i < 19; i++)
        if (stamp[i] != ':') /* some disks take no colon in a name */
            stamp[length++] = stamp[i] == ' ' ? '-' : stamp[i];
    stamp[length] = '\0';
    if (snprintf(kept, INVENTORY_PATH_SIZE, "%s.before-%s", inventory->path, stamp) >=
        INVENTORY_PATH_SIZE)
        return error_set(error, STATUS_FILE,
                         "%s: the path is too long to keep a backup beside it; move it to a "
                         "shorter one",
                         inventory->path);
    return inventory_backup(inventory, kept, error);
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
        status = keep_present(inventory, kept, error);
    if (!status)
        status = copy_pages(inventory, &backup, error);
    inventory_close(inventory);
    sqlite3_close(backup.connection);
    return status;
}
