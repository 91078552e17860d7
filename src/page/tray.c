#include "tray.h"

#include "base/memory.h"
#include "files/photo_limits.h"
#include "secret.h"

#include <ctype.h>
#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#define TOLD_BYTES_MAX (1024 * 1024)

/* What a tray may hold of an id; the last ones are only on their way out. */
static const char *const endings[] = {"part", "photo", "told", "jpg", "csv", "db", "pdf", "svg"};

/* --- paths ------------------------------------------------------------------------------------ */

bool tray_is_id(const char *text)
{
    return strlen(text) == TRAY_ID_SIZE - 1 && text[strspn(text, "0123456789abcdef")] == '\0';
}

static void folder_path(const char *inventory_path, char path[TRAY_PATH_SIZE])
{
    snprintf(path, TRAY_PATH_SIZE, "%s.photos", inventory_path);
}

void tray_path(const char *inventory_path, const char *id, const char *ending,
               char path[TRAY_PATH_SIZE])
{
    snprintf(path, TRAY_PATH_SIZE, "%s.photos/%.16s.%.8s", inventory_path, id, ending);
}

/* --- coming in -------------------------------------------------------------------------------- */

static enum status check_room(const char *inventory_path, long long bytes, struct error *error)
{
    struct tray_list list = {0};
    enum status status = tray_read(inventory_path, &list, error);

    if (!status && (list.count >= TRAY_PHOTOS_MAX || list.bytes + bytes > TRAY_BYTES_MAX))
        status = error_set(error, STATUS_FILE,
                           "the photos here take up all the room they may: %zu photos, %lld MB; "
                           "clear those that are no longer needed",
                           list.count, list.bytes / 1000000);
    tray_list_release(&list);
    return status;
}

enum status tray_new(const char *inventory_path, char id[TRAY_ID_SIZE], struct error *error)
{
    char path[TRAY_PATH_SIZE];

    folder_path(inventory_path, path);
    if (mkdir(path, 0700) != 0 && errno != EEXIST)
        return error_set(error, STATUS_FILE, "%s can't be made (%s)", path, strerror(errno));
    return secret_fill(id, TRAY_ID_SIZE, error);
}

enum status tray_open(const char *inventory_path, long long bytes, char id[TRAY_ID_SIZE],
                      FILE **file, struct error *error)
{
    char path[TRAY_PATH_SIZE];
    int descriptor;
    enum status status = tray_new(inventory_path, id, error);

    *file = NULL;
    if (!status)
        status = check_room(inventory_path, bytes, error);
    if (status)
        return status;
    tray_path(inventory_path, id, "part", path);
    descriptor = open(path, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0600);
    *file = descriptor >= 0 ? fdopen(descriptor, "wb") : NULL;
    return *file ? STATUS_OK
                 : error_set(error, STATUS_FILE, "%s can't be made (%s)", path, strerror(errno));
}

/* A photo that tells no time of its own was taken when its file was last changed, which the
 * browser knows: milliseconds since 1970. */
static void set_time(const char *path, const char *changed)
{
    long long ms = strtoll(changed, NULL, 10);
    const struct timespec times[] = {{.tv_sec = (time_t)(ms / 1000)},
                                     {.tv_sec = (time_t)(ms / 1000)}};

    if (ms > 0)
        utimensat(AT_FDCWD, path, times, 0);
}

enum status tray_take(const char *inventory_path, const char *id, const char *changed_ms,
                      struct error *error)
{
    char part[TRAY_PATH_SIZE], photo[TRAY_PATH_SIZE];

    tray_path(inventory_path, id, "part", part);
    tray_path(inventory_path, id, "photo", photo);
    if (rename(part, photo) != 0)
        return error_set(error, STATUS_FILE, "%s can't be kept (%s)", photo, strerror(errno));
    set_time(photo, changed_ms);
    return STATUS_OK;
}

/* --- what is told ----------------------------------------------------------------------------- */

static void put_encoded(const char *text, FILE *out)
{
    for (; *text; text++)
        if (isalnum((unsigned char)*text))
            fputc(*text, out);
        else
            fprintf(out, "%%%02X", (unsigned char)*text);
}

static bool is_passing(const char *name)
{
    static const char *const passing[] = {"token", "revision", "do", "pasted"};

    for (size_t i = 0; i < sizeof passing / sizeof *passing; i++)
        if (strcmp(name, passing[i]) == 0)
            return true;
    return false;
}

static bool holds(const struct fields *fields, const char *name)
{
    for (size_t i = 0; fields && i < fields->count; i++)
        if (strcmp(fields->names[i], name) == 0)
            return true;
    return false;
}

static void put_fields(const struct fields *told, const struct fields *without, FILE *out)
{
    for (size_t i = 0; told && i < told->count; i++) {
        if (is_passing(told->names[i]) || holds(without, told->names[i]))
            continue;
        put_encoded(told->names[i], out);
        fputc('=', out);
        put_encoded(told->values[i], out);
        fputc('&', out);
    }
}

/* Written beside and renamed, so that a crash leaves the old or the new. */
enum status tray_write_told(const char *inventory_path, const char *id, const struct fields *anew,
                            const struct fields *told, struct error *error)
{
    char path[TRAY_PATH_SIZE], beside[TRAY_PATH_SIZE + 4];
    int descriptor;
    FILE *out;
    bool written;

    tray_path(inventory_path, id, "told", path);
    snprintf(beside, sizeof beside, "%s~", path);
    descriptor = open(beside, O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, 0600);
    out = descriptor >= 0 ? fdopen(descriptor, "wb") : NULL;
    if (!out)
        return error_set(error, STATUS_FILE, "%s can't be written (%s)", path, strerror(errno));
    put_fields(anew, NULL, out);
    put_fields(told, anew, out);
    written = !ferror(out);
    written = fclose(out) == 0 && written;
    if (written && rename(beside, path) == 0)
        return STATUS_OK;
    unlink(beside);
    return error_set(error, STATUS_FILE, "%s can't be written (%s)", path, strerror(errno));
}

enum status tray_read_told(const char *inventory_path, const char *id, struct fields *told,
                           struct error *error)
{
    char path[TRAY_PATH_SIZE];
    char *text = memory_array(TOLD_BYTES_MAX, 1, "what is told of a photo", error);
    FILE *file;
    size_t length = 0;
    enum status status;

    *told = (struct fields){.count = 0};
    if (!text)
        return error->status;
    tray_path(inventory_path, id, "told", path);
    file = tray_is_id(id) ? fopen(path, "rb") : NULL;
    if (file) {
        length = fread(text, 1, TOLD_BYTES_MAX, file);
        fclose(file);
        status = fields_read(text, length, told, error);
    } else {
        status = error_set(error, STATUS_FILE, "that photo is no longer here");
    }
    free(text);
    return status;
}

/* --- all of them ------------------------------------------------------------------------------ */

static enum status add_photo(const char *inventory_path, const char *id, struct tray_list *list,
                             struct error *error)
{
    char path[TRAY_PATH_SIZE];
    struct tray_photo *photo;
    struct stat file;

    tray_path(inventory_path, id, "photo", path);
    if (stat(path, &file) != 0)
        return STATUS_OK;
    if (list->count == list->capacity) {
        photo = memory_grow(list->items, &list->capacity, sizeof *photo, "the photos", error);
        if (!photo)
            return error->status;
        list->items = photo;
    }
    photo = &list->items[list->count++];
    snprintf(photo->id, sizeof photo->id, "%s", id);
    list->bytes += file.st_size;
    return tray_read_told(inventory_path, id, &photo->told, error);
}

static int compare_times(const void *a, const void *b)
{
    const struct tray_photo *first = a, *second = b;

    return strcmp(fields_value(&second->told, "came"), fields_value(&first->told, "came"));
}

enum status tray_read(const char *inventory_path, struct tray_list *list, struct error *error)
{
    char path[TRAY_PATH_SIZE];
    DIR *folder;
    const struct dirent *entry;
    enum status status = STATUS_OK;

    *list = (struct tray_list){.count = 0};
    folder_path(inventory_path, path);
    folder = opendir(path);
    while (!status && folder && (entry = readdir(folder)) != NULL) {
        char id[TRAY_ID_SIZE];

        snprintf(id, sizeof id, "%.16s", entry->d_name);
        if (tray_is_id(id) && strcmp(entry->d_name + TRAY_ID_SIZE - 1, ".photo") == 0)
            status = add_photo(inventory_path, id, list, error);
    }
    if (folder)
        closedir(folder);
    if (!status && list->count)
        qsort(list->items, list->count, sizeof *list->items, compare_times);
    return status;
}

void tray_list_release(struct tray_list *list)
{
    for (size_t i = 0; i < list->count; i++)
        fields_release(&list->items[i].told);
    free(list->items);
    *list = (struct tray_list){.count = 0};
}

void tray_drop(const char *inventory_path, const char *id)
{
    char path[TRAY_PATH_SIZE];

    for (size_t i = 0; tray_is_id(id) && i < sizeof endings / sizeof *endings; i++) {
        tray_path(inventory_path, id, endings[i], path);
        unlink(path);
    }
}

static bool is_passing_file(const char *ending)
{
    return strcmp(ending, "part") == 0 || strcmp(ending, "db") == 0 || strcmp(ending, "pdf") == 0 ||
           strcmp(ending, "svg") == 0;
}

void tray_tidy(const char *inventory_path)
{
    char path[TRAY_PATH_SIZE];
    DIR *folder;
    const struct dirent *entry;

    folder_path(inventory_path, path);
    folder = opendir(path);
    while (folder && (entry = readdir(folder)) != NULL) {
        char id[TRAY_ID_SIZE];

        snprintf(id, sizeof id, "%.16s", entry->d_name);
        if (tray_is_id(id) && is_passing_file(entry->d_name + TRAY_ID_SIZE))
            tray_drop(inventory_path, id);
    }
    if (folder)
        closedir(folder);
}
