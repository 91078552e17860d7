#ifndef WOAD_FILES_HEIF_FILE_H
#define WOAD_FILES_HEIF_FILE_H

#include "format.h"

/*
 * Reading HEIC, as struct format says; the only module that knows libheif.
 *
 * The width and height are those of the picture upright: the file's own turns and crops are carried
 * out in decoding, and EXIF's orientation, which says the same once more, is left alone. Pictures
 * beside the main one, such as a map of brightness for bright screens, are left alone too. libheif
 * holds the picture whole.
 *
 * Returns: STATUS_OK; STATUS_FORMAT; STATUS_MEMORY.
 * Source: ISO/IEC 23008-12 (HEIF), read through libheif.
 */
MUST_USE enum status heif_file_open(FILE *file, const char *path, void **decoder,
                                    struct header *header, struct error *error);
MUST_USE enum status heif_file_decode(void *decoder, struct rows *rows, struct error *error);
void heif_file_close(void *decoder);

#endif
