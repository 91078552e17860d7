#ifndef WOAD_FILES_CONTENT_H
#define WOAD_FILES_CONTENT_H

#include "base/error.h"
#include "files/signature.h"

#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>

/* A file opened to be read as a photo: what it is by its content, and its hash. */
struct content {
    FILE *stream; /* at the first byte */
    enum signature signature;
    const char *kind; /* in words */
    bool own;         /* woad made it */
    char hash[33];
    int64_t changed; /* seconds since 1970 UTC */
};

/**
 * Open a file, recognise it and hash it.
 *
 * Owns:    the caller releases it with content_release.
 * Returns: STATUS_OK; STATUS_FILE if it is missing, no plain file, empty or
 *          can't be read; STATUS_FORMAT if it is larger than
 *          PHOTO_FILE_BYTES_MAX; STATUS_MEMORY.
 */
MUST_USE enum status content_open(const char *path, struct content *content, struct error *error);

void content_release(struct content *content);

#endif
