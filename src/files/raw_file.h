#ifndef WOAD_FILES_RAW_FILE_H
#define WOAD_FILES_RAW_FILE_H

#include "format.h"

/*
 * Reading cameras' raw files, as struct format says; the only module that knows LibRaw.
 *
 * What comes out is the sensor's own: linear, without white balance, brightening or a camera's
 * colours; black is 0, and 1 is where the sensor is full. Each pixel averages the sensor's values
 * of its colour in a square: of 2 x 2 at least where they are a mosaic of 2 x 2, of 3 x 3 where it
 * is one of 6 x 6; nothing is guessed in between. Samples are the square root of that light, so
 * that 16 bits are as fine in the dark as the eye and the sensor's noise.
 *
 * Returns: STATUS_OK; STATUS_FORMAT; STATUS_MEMORY.
 * Source: Adobe Digital Negative 1.4 on black and white levels; the files are read through LibRaw.
 */
#define RAW_FILE_EXPONENT 2 /* from sample to light */

MUST_USE enum status raw_file_open(FILE *file, const char *path, void **decoder,
                                   struct header *header, struct error *error);
void raw_file_scale(struct header *header, long long pixels_max);
MUST_USE enum status raw_file_decode(void *decoder, struct rows *rows, struct error *error);
void raw_file_close(void *decoder);

#endif
