#ifndef WOAD_FILES_WHOLE_FILE_H
#define WOAD_FILES_WHOLE_FILE_H

#include "base/error.h"

#include <stddef.h>
#include <stdio.h>

/*
 * A file that appears whole or not at all: it is written under a temporary
 * name in the same folder and renamed at the end.
 *
 * It never takes the place of anything but a file that woad made, or an empty
 * one: not of a photo, an inventory, a link, a device. Pictures, drawings,
 * documents and profiles carry a mark, by which woad knows them again; a CSV
 * file can carry none, and so is never replaced.
 */
struct whole_file {
    FILE *stream;
    const struct whole_file_kind *kind;
    char path[1024];
    char temporary[1056];
};

/* What can be written: each kind has its own endings, and its own place for the mark. */
struct whole_file_kind;
extern const struct whole_file_kind whole_file_png, whole_file_jpeg_or_png, whole_file_svg,
    whole_file_pdf, whole_file_html, whole_file_icc, whole_file_csv;

/* A file that is to be written later in the run; none where `path` is NULL. */
struct whole_file_plan {
    const char *path;
    const struct whole_file_kind *kind;
};

/**
 * Look whether files may be written where they are wanted, before work goes into them.
 *
 * Returns: STATUS_OK; STATUS_USAGE for a wrong ending, or two files of one name; STATUS_FILE for
 *          what must not be replaced.
 */
MUST_USE enum status whole_file_check(const struct whole_file_plan *plans, size_t count,
                                      struct error *error);

/**
 * Open a file to be written, having checked it as whole_file_check does.
 *
 * Owns:    the caller ends it with whole_file_end.
 * Returns: STATUS_OK; STATUS_USAGE; STATUS_FILE, and then there is nothing to end.
 */
MUST_USE enum status whole_file_begin(const char *path, const struct whole_file_kind *kind,
                                      struct whole_file *file, struct error *error);

/**
 * Close the file and give it its name; drop it if `status` is a failure.
 *
 * Returns: `status`; STATUS_FILE if the last bytes can't be written.
 */
MUST_USE enum status whole_file_end(struct whole_file *file, enum status status,
                                    struct error *error);

#endif
