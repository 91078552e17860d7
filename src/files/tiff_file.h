#ifndef WOAD_FILES_TIFF_FILE_H
#define WOAD_FILES_TIFF_FILE_H

#include "base/error.h"
#include "header.h"
#include "rows.h"

#include <stdio.h>

/* Reading TIFF; the only module that knows libtiff. Built without WOAD_TIFF it refuses. */
struct tiff_file;

/**
 * Read a TIFF file up to its picture data: its first picture, which must be its largest.
 *
 * Owns:    `file` stays open and the caller's; on every status the caller
 *          releases `header` and closes `tiff` (NULL is fine).
 * Returns: STATUS_OK; STATUS_FORMAT if it is damaged, a camera's raw file, no
 *          RGB photo of 8 or 16 bits, or packed in a way not read; STATUS_FILE;
 *          STATUS_MEMORY.
 * Source:  TIFF 6.0, read through libtiff.
 */
MUST_USE enum status tiff_file_open(FILE *file, const char *path, struct tiff_file **tiff,
                                    struct header *header, struct error *error);

/**
 * Decode the picture, line by line, or some lines at a time where it is stored
 * in tiles or with its channels apart.
 *
 * Returns: STATUS_OK; STATUS_FORMAT if data is missing or damaged, a pixel is
 *          see-through, or a row of tiles passes the limit; STATUS_FILE;
 *          STATUS_MEMORY.
 */
MUST_USE enum status tiff_file_decode(struct tiff_file *tiff, struct rows *rows,
                                      struct error *error);

void tiff_file_close(struct tiff_file *tiff);

#endif
