#include "copies.h"

#include "values/calendar.h"

#include <dirent.h>
#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#define FOLDER_ENDING ".copies"
#define COPY_ENDING ".db"
#define KEPT_ALWAYS 3
#define KEPT_SECONDS (30LL * 24 * 60 * 60)
#define SAME_SECOND_MAX 99
#define STAMP_LENGTH 17 /* 2026-05-03-102000 */
#define NAME_SIZE 64

/* --- writing one ---------------------------------------------------------------------------- */

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

enum status copies_write(struct inventory *inventory, const char *path, struct error *error)
{
    char part[INVENTORY_PATH_SIZE + 32] = "";
    const struct bound bound = bound_text(part);
    const struct query copy = {"VACUUM INTO ?", &bound, 1};
    enum status status = refuse_there(path, error);

    if (status)
        return status;
    snprintf(part, sizeof part, "%s%s.%ld.part", path[0] == '/' ? "" : "./", path, (long)getpid());
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

/* --- those that are kept -------------------------------------------------------------------- */

/* The time as some disks take it in a name, which take no colon: 2026-05-03-102000. */
static void write_stamp(const struct photo_time *time, char stamp[NAME_SIZE])
{
    char text[CALENDAR_TEXT_SIZE];
    size_t length = 0;

    calendar_format(time, text);
    for (size_t i = 0; text[i] && text[i] != '+' && length < STAMP_LENGTH; i++)
        if (text[i] != ':')
            stamp[length++] = text[i] == ' ' ? '-' : text[i];
    stamp[length] = '\0';
}

static bool is_copy(const char *name)
{
    size_t length = strlen(name), ending = strlen(COPY_ENDING);

    if (length < STAMP_LENGTH + ending || strcmp(name + length - ending, COPY_ENDING) != 0)
        return false;
    for (size_t i = 0; i < STAMP_LENGTH; i++)
        if (!strchr(i == 4 || i == 7 || i == 10 ? "-" : "0123456789", name[i]))
            return false;
    return true;
}

static int only_copies(const struct dirent *entry)
{
    return is_copy(entry->d_name);
}

static int newest_first(const struct dirent **a, const struct dirent **b)
{
    return strcmp((*b)->d_name, (*a)->d_name);
}

/* Let go of what is older than is kept. A copy that can't be removed is in nobody's way. */
static void let_go(const char *folder, const struct photo_time *now)
{
    struct photo_time past = *now;
    struct dirent **copies = NULL;
    int count = scandir(folder, &copies, only_copies, newest_first);
    char oldest[NAME_SIZE];

    past.utc_seconds -= KEPT_SECONDS;
    write_stamp(&past, oldest);
    for (int i = 0; i < count; i++) {
        char path[INVENTORY_PATH_SIZE + 3 * NAME_SIZE];

        snprintf(path, sizeof path, "%s/%.40s", folder, copies[i]->d_name);
        if (i >= KEPT_ALWAYS && strncmp(copies[i]->d_name, oldest, STAMP_LENGTH) < 0)
            unlink(path);
        free(copies[i]);
    }
    free(copies);
}

static enum status holds_anything(struct inventory *inventory, bool *holds, struct error *error)
{
    const struct query query = {"SELECT EXISTS (SELECT 1 FROM sqlite_schema WHERE name = 'photo')",
                                NULL, 0};
    long long found = 0;
    enum status status = database_lookup(inventory, &query, &found, error);

    if (!status && found) {
        const struct query rows = {"SELECT EXISTS (SELECT 1 FROM photo) OR EXISTS (SELECT 1 FROM "
                                   "ink)",
                                   NULL, 0};

        status = database_lookup(inventory, &rows, &found, error);
    }
    *holds = found != 0;
    return status;
}

/* The first name that is free, should several copies be kept in one second. */
static enum status name_copy(const char *folder, const char *stamp, char kept[INVENTORY_PATH_SIZE],
                             struct error *error)
{
    struct stat about;

    for (int i = 0; i < SAME_SECOND_MAX; i++) {
        char more[8] = "";

        if (i > 0)
            snprintf(more, sizeof more, "_%02d", i);
        if (snprintf(kept, INVENTORY_PATH_SIZE, "%s/%s%s" COPY_ENDING, folder, stamp, more) >=
            INVENTORY_PATH_SIZE)
            break;
        if (lstat(kept, &about) && errno == ENOENT)
            return STATUS_OK;
    }
    return error_set(error, STATUS_FILE,
                     "%s: no copy of the inventory can be named in it; move the inventory to a "
                     "folder with a shorter path",
                     folder);
}

static void name_folder(const char *inventory_path, char folder[INVENTORY_PATH_SIZE + NAME_SIZE])
{
    snprintf(folder, INVENTORY_PATH_SIZE + NAME_SIZE, "%s" FOLDER_ENDING, inventory_path);
}

enum status copies_place(const char *inventory_path, char kept[INVENTORY_PATH_SIZE],
                         struct error *error)
{
    const struct photo_time now = calendar_now();
    char folder[INVENTORY_PATH_SIZE + NAME_SIZE], stamp[NAME_SIZE];

    name_folder(inventory_path, folder);
    if (mkdir(folder, 0777) && errno != EEXIST)
        return error_set(error, STATUS_FILE,
                         "%s: the folder can't be made (%s), so no copy of the inventory can be "
                         "kept in it first; check that you may write there",
                         folder, strerror(errno));
    write_stamp(&now, stamp);
    return name_copy(folder, stamp, kept, error);
}

enum status copies_keep(struct inventory *inventory, char kept[INVENTORY_PATH_SIZE],
                        struct error *error)
{
    const struct photo_time now = calendar_now();
    char folder[INVENTORY_PATH_SIZE + NAME_SIZE];
    bool holds = false;
    enum status status = holds_anything(inventory, &holds, error);

    kept[0] = '\0';
    if (status || !holds)
        return status;
    status = copies_place(inventory->path, kept, error);
    if (!status)
        status = copies_write(inventory, kept, error);
    name_folder(inventory->path, folder);
    if (!status)
        let_go(folder, &now);
    return status;
}
