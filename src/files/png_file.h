#ifndef WOAD_FILES_PNG_FILE_H
#define WOAD_FILES_PNG_FILE_H

#include "format.h"
#include "values/image.h"

#include <stddef.h>

/*
 * Reading PNG, as struct format says, and writing it; the only module that knows libpng. EXIF is
 * found wherever it stands; an interlaced picture is held whole.
 *
 * Returns: STATUS_OK; STATUS_FORMAT; STATUS_MEMORY.
 */
MUST_USE enum status png_file_open(FILE *file, const char *path, void **decoder,
                                   struct header *header, struct error *error);
MUST_USE enum status png_file_decode(void *decoder, struct rows *rows, struct error *error);
void png_file_close(void *decoder);

/**
 * Write a picture at 16 bits a sample with an ICC profile.
 *
 * Returns: STATUS_OK; STATUS_FILE; STATUS_MEMORY.
 */
MUST_USE enum status png_file_write(FILE *file, const char *path, const struct image *image,
                                    const unsigned char *icc, size_t icc_size, struct error *error);

#endif
