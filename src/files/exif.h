#ifndef WOAD_FILES_EXIF_H
#define WOAD_FILES_EXIF_H

#include "base/error.h"
#include "header.h"
#include "values/calendar.h"

#include <stdbool.h>
#include <stdint.h>

/* The little that is taken from a photo's EXIF; the place it was taken at never is. */
struct exif {
    int orientation; /* 1 to 8; 1 where it is missing or makes no sense */
    struct photo_time taken;
    char software[64]; /* the program that wrote the file, in its own words */
    bool option_file;  /* DCF option file: coded as opRGB though no profile says so */
};

/**
 * Read orientation and original time.
 *
 * Returns: STATUS_OK, also for damaged EXIF: what can't be read is as missing;
 *          STATUS_MEMORY.
 * Source:  EXIF 2.32 (CIPA DC-008).
 */
MUST_USE enum status exif_read(const struct header *header, struct exif *exif, struct error *error);

#endif
