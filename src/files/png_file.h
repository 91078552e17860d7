#ifndef WOAD_FILES_PNG_FILE_H
#define WOAD_FILES_PNG_FILE_H

#include "base/error.h"
#include "header.h"
#include "rows.h"
#include "values/image.h"

#include <stddef.h>
#include <stdio.h>

/* Reading and writing PNG; the only module that knows libpng. */
struct png_file;

/**
 * Read a PNG file up to its picture data, and EXIF wherever it stands.
 *
 * Owns:    `file` stays open and the caller's; on every status the caller
 *          releases `header` and closes `png` (NULL is fine).
 * Returns: STATUS_OK; STATUS_FORMAT if it is damaged or not a colour photo;
 *          STATUS_FILE; STATUS_MEMORY.
 */
MUST_USE enum status png_file_open(FILE *file, const char *path, struct png_file **png,
                                   struct header *header, struct error *error);

/**
 * Decode the picture, line by line; an interlaced one is held whole.
 *
 * Returns: STATUS_OK; STATUS_FORMAT if data is missing or damaged, a pixel is
 *          see-through, or an interlaced picture passes the limit; STATUS_FILE;
 *          STATUS_MEMORY.
 */
MUST_USE enum status png_file_decode(struct png_file *png, struct rows *rows, struct error *error);

void png_file_close(struct png_file *png);

/** Write a picture at 16 bits a sample with an ICC profile. */
MUST_USE enum status png_file_write(FILE *file, const char *path, const struct image *image,
                                    const unsigned char *icc, size_t icc_size, struct error *error);

#endif
