#include "files/content.h"

#include "files/mark.h"
#include "files/photo_limits.h"

#include <errno.h>
#include <string.h>
#include <sys/stat.h>
#include <xxhash.h>

#define BLOCK_BYTES 65536

static enum status check_file(const char *path, struct content *content, struct error *error)
{
    struct stat facts;

    if (stat(path, &facts))
        return error_set(error, STATUS_FILE,
                         "%s: can't be found or opened (%s); a JPEG, PNG, HEIC, TIFF or raw photo "
                         "is wanted: check "
                         "the path",
                         path, strerror(errno));
    if (S_ISDIR(facts.st_mode))
        return error_set(error, STATUS_FILE,
                         "%s: is a folder; a JPEG, PNG, HEIC, TIFF or raw photo is wanted: name "
                         "the photos in it",
                         path);
    if (!S_ISREG(facts.st_mode))
        return error_set(
            error, STATUS_FILE,
            "%s: is a device or pipe; a JPEG, PNG, HEIC, TIFF or raw photo is wanted: save it as a "
            "file first",
            path);
    if (facts.st_size == 0)
        return error_set(error, STATUS_FILE,
                         "%s: is empty (0 bytes); a JPEG, PNG, HEIC, TIFF or raw photo is wanted: "
                         "copy it from the "
                         "camera again",
                         path);
    if (facts.st_size > PHOTO_FILE_BYTES_MAX)
        return error_set(error, STATUS_FORMAT,
                         "%s: has %lld MB; at most %lld MB are read: save it smaller or as JPEG",
                         path, (long long)facts.st_size >> 20, PHOTO_FILE_BYTES_MAX >> 20);
    content->changed = (int64_t)facts.st_mtime;
    return STATUS_OK;
}

static void write_hash(const XXH3_state_t *state, char hash[33])
{
    XXH128_canonical_t canonical;

    XXH128_canonicalFromHash(&canonical, XXH3_128bits_digest(state));
    for (size_t i = 0; i < sizeof canonical.digest; i++)
        snprintf(hash + 2 * i, 3, "%02x", canonical.digest[i]);
}

static enum status unreadable(const char *path, struct error *error)
{
    return error_set(error, STATUS_FILE,
                     "%s: can't be read (%s); a JPEG, PNG, HEIC, TIFF or raw photo is wanted: "
                     "check its permissions "
                     "and the disk",
                     path, strerror(errno));
}

static enum status hash_stream(const char *path, struct content *content, XXH3_state_t *state,
                               struct error *error)
{
    unsigned char block[BLOCK_BYTES];
    size_t size = fread(block, 1, sizeof block, content->stream);

    XXH3_128bits_reset(state);
    content->signature = signature_recognise(block, size, &content->kind);
    content->own = mark_is_in(block, size < MARK_HEAD_BYTES ? size : MARK_HEAD_BYTES);
    for (; size; size = fread(block, 1, sizeof block, content->stream))
        XXH3_128bits_update(state, block, size);
    if (ferror(content->stream))
        return unreadable(path, error);
    write_hash(state, content->hash);
    rewind(content->stream);
    return STATUS_OK;
}

enum status content_open(const char *path, struct content *content, struct error *error)
{
    XXH3_state_t *state;
    enum status status;

    memset(content, 0, sizeof *content);
    status = check_file(path, content, error);
    if (status)
        return status;
    content->stream = fopen(path, "rbe");
    if (!content->stream)
        return unreadable(path, error);
    state = XXH3_createState();
    if (!state)
        return error_set(error, STATUS_MEMORY, "%s: out of memory to read it", path);
    status = hash_stream(path, content, state, error);
    XXH3_freeState(state);
    return status;
}

void content_release(struct content *content)
{
    if (content->stream)
        fclose(content->stream);
    memset(content, 0, sizeof *content);
}
