#ifndef WOAD_VALUES_CALENDAR_H
#define WOAD_VALUES_CALENDAR_H

#include "base/error.h"

#include <stdbool.h>
#include <stdint.h>

/* Instants, and how people, cameras and file systems write them down. */

enum photo_time_source { PHOTO_TIME_NONE, PHOTO_TIME_EXIF, PHOTO_TIME_FILE, PHOTO_TIME_GIVEN };

/* An instant with the clock it was read from: seconds since 1970 UTC, and the
 * local offset east of UTC; `offset_known` is false when the file names none
 * and the machine's own was taken. */
struct photo_time {
    enum photo_time_source source;
    int64_t utc_seconds;
    int offset_minutes;
    bool offset_known;
};

#define CALENDAR_TEXT_SIZE 40

/**
 * Read "2026-05-03 10:20", with seconds and an offset ("+02:00" or "Z") if given;
 * a T may stand for the space.
 *
 * Returns: STATUS_OK, and without an offset the machine's own clock is meant
 *          (`offset_known` false); STATUS_USAGE if it is no such time, or one
 *          that is to come.
 */
MUST_USE enum status calendar_parse(const char *text, struct photo_time *time, struct error *error);

/**
 * Read a camera's "2026:03:14 15:09:26" and its offset, "+01:00" or empty.
 *
 * Returns: the time; of source PHOTO_TIME_NONE if it makes no sense.
 * Source:  EXIF 2.32 (CIPA DC-008), DateTimeOriginal and OffsetTimeOriginal.
 */
struct photo_time calendar_of_exif(const char *original, const char *offset);

/** The time of a file's last change, on the machine's own clock. */
struct photo_time calendar_of_file(int64_t utc_seconds);

/** The present instant on the machine's own clock. */
struct photo_time calendar_now(void);

/** Tell whether a time lies more than a day ahead: a clock that is fast by a zone is forgiven. */
bool calendar_is_to_come(const struct photo_time *time);

/** Write a time as "2026-05-03 10:20:00 +02:00"; empty for none. */
void calendar_format(const struct photo_time *time, char text[CALENDAR_TEXT_SIZE]);

/**
 * Date a sheet or a report: with the time told, or now if none is.
 *
 * Returns: the time; its day is written as "2026-05-03".
 */
struct photo_time calendar_date(const struct photo_time *told, char day[CALENDAR_TEXT_SIZE]);

#endif
