#ifndef WOAD_FILES_HEIF_FILE_H
#define WOAD_FILES_HEIF_FILE_H

#include "base/error.h"
#include "header.h"
#include "rows.h"

#include <stdio.h>

/* Reading HEIC; the only module that knows libheif. Built without WOAD_HEIF it refuses. */
struct heif_file;

/**
 * Read a HEIC file up to its picture data.
 *
 * The width and height are those of the picture upright: the file's own turns
 * and crops are carried out in decoding, and EXIF's orientation, which says the
 * same once more, is left alone.
 *
 * Owns:    `file` stays open and the caller's; on every status the caller
 *          releases `header` and closes `heif` (NULL is fine).
 * Returns: STATUS_OK; STATUS_FORMAT if it is damaged, passes a limit, or can't
 *          be decoded by this build; STATUS_FILE; STATUS_MEMORY.
 * Source:  ISO/IEC 23008-12 (HEIF), read through libheif.
 */
MUST_USE enum status heif_file_open(FILE *file, const char *path, struct heif_file **heif,
                                    struct header *header, struct error *error);

/**
 * Decode the picture; libheif holds it whole.
 *
 * Returns: STATUS_OK; STATUS_FORMAT if data is missing or damaged, a pixel is
 *          see-through, or the picture takes too much memory; STATUS_MEMORY.
 */
MUST_USE enum status heif_file_decode(struct heif_file *heif, struct rows *rows,
                                      struct error *error);

void heif_file_close(struct heif_file *heif);

#endif
