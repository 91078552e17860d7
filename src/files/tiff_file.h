#ifndef WOAD_FILES_TIFF_FILE_H
#define WOAD_FILES_TIFF_FILE_H

#include "format.h"

/*
 * Reading TIFF, as struct format says; the only module that knows libtiff. It reads the first
 * picture of a file, which must be its largest, of RGB in 8 or 16 bits, line by line, or some lines
 * at a time where it is stored in tiles or with its channels apart. A file that is raw is opened
 * and said to be so in its header, which then holds the time alone.
 *
 * Returns: STATUS_OK; STATUS_FORMAT; STATUS_MEMORY.
 * Source: TIFF 6.0, read through libtiff.
 */
MUST_USE enum status tiff_file_open(FILE *file, const char *path, void **decoder,
                                    struct header *header, struct error *error);
MUST_USE enum status tiff_file_decode(void *decoder, struct rows *rows, struct error *error);
void tiff_file_close(void *decoder);

#endif
