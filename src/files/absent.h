#ifndef WOAD_FILES_ABSENT_H
#define WOAD_FILES_ABSENT_H

#include "base/error.h"
#include "header.h"

#include <stdio.h>

/*
 * What stands in for the readers of formats whose libraries were not there to build with: each
 * refuses, naming the library.
 *
 * Returns: STATUS_FORMAT.
 */
MUST_USE enum status absent_heif(FILE *file, const char *path, void **decoder,
                                 struct header *header, struct error *error);
MUST_USE enum status absent_tiff(FILE *file, const char *path, void **decoder,
                                 struct header *header, struct error *error);
MUST_USE enum status absent_raw(FILE *file, const char *path, void **decoder, struct header *header,
                                struct error *error);

void absent_close(void *decoder);

#endif
