#ifndef WOAD_FILES_JPEG_SOURCE_H
#define WOAD_FILES_JPEG_SOURCE_H

/* Private to src/files: where the JPEG decoder gets its bytes from. */

#include <stdio.h>

struct jpeg_decompress_struct;

/**
 * Let a decoder read a stream, many bytes at a time.
 *
 * libjpeg has a way of its own, 4 KB at a time; but its quick way of decoding needs 3 KB at hand,
 * so that with so few it is mostly left to the slow one.
 *
 * Owns:    what it needs is the decoder's, from its pool; `file` stays the caller's.
 */
void jpeg_source_begin(struct jpeg_decompress_struct *decoder, FILE *file);

#endif
