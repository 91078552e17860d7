#ifndef WOAD_FILES_WHOLE_FILE_H
#define WOAD_FILES_WHOLE_FILE_H

#include "base/error.h"

#include <stdio.h>

/*
 * A file that appears whole or not at all: it is written under a temporary
 * name in the same folder and renamed at the end.
 */
struct whole_file {
    FILE *stream;
    char path[1024];
    char temporary[1056];
};

/**
 * Open a file to be written.
 *
 * Owns:    the caller ends it with whole_file_end.
 * Returns: STATUS_OK; STATUS_FILE, and then there is nothing to end.
 */
MUST_USE enum status whole_file_begin(const char *path, struct whole_file *file,
                                      struct error *error);

/**
 * Close the file and give it its name; drop it if `status` is a failure.
 *
 * Returns: `status`; STATUS_FILE if the last bytes can't be written.
 */
MUST_USE enum status whole_file_end(struct whole_file *file, enum status status,
                                    struct error *error);

#endif
