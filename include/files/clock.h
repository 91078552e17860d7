#ifndef WOAD_FILES_CLOCK_H
#define WOAD_FILES_CLOCK_H

#include "base/error.h"
#include "files/photo.h"

/* Times as people write them, as instants with the clock they were read from. */

#define CLOCK_TEXT_SIZE 40

/**
 * Read "2026-05-03 10:20", with seconds and an offset ("+02:00" or "Z") if given;
 * a T may stand for the space.
 *
 * Returns: STATUS_OK, and without an offset the machine's own clock is meant
 *          (`offset_known` false); STATUS_USAGE if it is no such time.
 */
MUST_USE enum status clock_parse(const char *text, struct photo_time *time, struct error *error);

/** The present instant on the machine's own clock. */
struct photo_time clock_now(void);

/** Write a time as "2026-05-03 10:20:00 +02:00"; empty for none. */
void clock_format(const struct photo_time *time, char text[CLOCK_TEXT_SIZE]);

#endif
