#ifndef WOAD_FILES_JPEG_FILE_H
#define WOAD_FILES_JPEG_FILE_H

#include "format.h"
#include "values/image.h"

#include <stddef.h>

/*
 * Reading JPEG, as struct format says, and writing it; the only module that knows libjpeg and its
 * setjmp. Of a file with several pictures the first is read, and a map that would brighten it for
 * bright screens (ISO 21496-1) is left alone.
 *
 * Returns: STATUS_OK; STATUS_FORMAT; STATUS_MEMORY.
 */
MUST_USE enum status jpeg_file_open(FILE *file, const char *path, void **decoder,
                                    struct header *header, struct error *error);
MUST_USE enum status jpeg_file_decode(void *decoder, struct rows *rows, struct error *error);
void jpeg_file_close(void *decoder);

/** Choose the most eighths, 1 to 8, at which the picture has at most `pixels_max` pixels; 1 if none
 * does, 8 if `pixels_max` is 0. */
void jpeg_file_scale(struct header *header, long long pixels_max);

/**
 * Write a picture, quality 95, colour at full resolution, with an ICC profile.
 *
 * Returns: STATUS_OK; STATUS_FILE; STATUS_MEMORY.
 */
MUST_USE enum status jpeg_file_write(FILE *file, const char *path, const struct image *image,
                                     const unsigned char *icc, size_t icc_size,
                                     struct error *error);

#endif
