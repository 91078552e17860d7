#ifndef WOAD_FILES_JPEG_FILE_H
#define WOAD_FILES_JPEG_FILE_H

#include "base/error.h"
#include "header.h"
#include "rows.h"
#include "values/image.h"

#include <stddef.h>
#include <stdio.h>

/* Reading and writing JPEG; the only module that knows libjpeg and its setjmp. */
struct jpeg_file;

/**
 * Read a JPEG file up to its picture data.
 *
 * Owns:    `file` stays open and the caller's; on every status the caller
 *          releases `header` and closes `jpeg` (NULL is fine).
 * Returns: STATUS_OK; STATUS_FORMAT if it is damaged or not a colour photo;
 *          STATUS_FILE; STATUS_MEMORY.
 */
MUST_USE enum status jpeg_file_open(FILE *file, const char *path, struct jpeg_file **jpeg,
                                    struct header *header, struct error *error);

/**
 * Choose how many eighths of its size a picture is decoded at, and say that size.
 *
 * Units:   `pixels_max` 0 means full size.
 * Returns: the most eighths, 1 to 8, that fit `pixels_max`; 1 if none does.
 */
int jpeg_file_eighths(const struct header *header, long long pixels_max, int *width_px,
                      int *height_px);

/**
 * Decode the picture, line by line, at the size chosen.
 *
 * Returns: STATUS_OK; STATUS_FORMAT if data is missing or damaged: nothing is
 *          filled with grey in silence; STATUS_FILE; STATUS_MEMORY.
 */
MUST_USE enum status jpeg_file_decode(struct jpeg_file *jpeg, int eighths, struct rows *rows,
                                      struct error *error);

void jpeg_file_close(struct jpeg_file *jpeg);

/** Write a picture, quality 95, colour at full resolution, with an ICC profile. */
MUST_USE enum status jpeg_file_write(FILE *file, const char *path, const struct image *image,
                                     const unsigned char *icc, size_t icc_size,
                                     struct error *error);

#endif
