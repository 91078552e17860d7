#define _DEFAULT_SOURCE /* timegm, which POSIX took up in 2024 */

#include "values/calendar.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#define DAY_SECONDS 86400
#define YEAR_MIN 1900 /* before it there were no zones to speak of */

/* 1 December 2026, when this was written: a machine's clock that shows less has lost the time. */
#define WRITTEN_UTC_SECONDS 1796083200

/* --- reading the parts ---------------------------------------------------------------------- */

/* Read exactly `digits` digits; NULL if they do not stand there. */
static const char *take_digits(const char *at, int digits, int *number)
{
    *number = 0;
    for (int i = 0; i < digits; i++) {
        if (!at || at[i] < '0' || at[i] > '9')
            return NULL;
        *number = *number * 10 + (at[i] - '0');
    }
    return at + digits;
}

static const char *take_character(const char *at, const char *one_of)
{
    return at && *at && strchr(one_of, *at) ? at + 1 : NULL;
}

/* Read "2026-05-03 10:20", and seconds if they follow: `dash` parts the date, `gap` the time. */
static const char *take_date(const char *at, const char *dash, const char *gap, struct tm *date)
{
    memset(date, 0, sizeof *date);
    at = take_character(take_digits(at, 4, &date->tm_year), dash);
    at = take_character(take_digits(at, 2, &date->tm_mon), dash);
    at = take_character(take_digits(at, 2, &date->tm_mday), gap);
    at = take_character(take_digits(at, 2, &date->tm_hour), ":");
    at = take_digits(at, 2, &date->tm_min);
    if (at && *at == ':')
        at = take_digits(at + 1, 2, &date->tm_sec);
    date->tm_year -= 1900;
    date->tm_mon -= 1;
    return at;
}

/* Read "+02:00", "-0530" or "Z", and set `given`; nothing at all is well too. Real zones lie
 * between -12:00 and +14:00. */
static const char *take_offset(const char *at, int *offset_minutes, bool *given)
{
    int hours = 0, minutes = 0, sign;

    while (at && *at == ' ')
        at++;
    *given = at && *at;
    if (!*given)
        return at;
    if (*at == 'Z' || *at == 'z')
        return at + 1;
    sign = *at == '-' ? -1 : 1;
    at = take_digits(take_character(at, "+-"), 2, &hours);
    if (at && *at == ':')
        at++;
    at = take_digits(at, 2, &minutes);
    if (hours > 14 || minutes > 59)
        return NULL;
    *offset_minutes = sign * (hours * 60 + minutes);
    return at;
}

/* --- the calendar --------------------------------------------------------------------------- */

/* Seconds from 1970 to a date read as UTC; false for a day or hour that no calendar has, which
 * timegm would move into the next month or day. A leap second is the next minute's first. */
static bool seconds_of_date(const struct tm *date, int64_t *seconds)
{
    struct tm asked = *date, moved;
    time_t instant;

    asked.tm_sec -= date->tm_sec == 60;
    moved = asked;
    instant = timegm(&moved);
    *seconds = (int64_t)instant + (date->tm_sec == 60);
    return date->tm_year + 1900 >= YEAR_MIN && moved.tm_year == asked.tm_year &&
           moved.tm_mon == asked.tm_mon && moved.tm_mday == asked.tm_mday &&
           moved.tm_hour == asked.tm_hour && moved.tm_min == asked.tm_min &&
           moved.tm_sec == asked.tm_sec;
}

/* The machine's offset at an instant; 0 where the C library knows none. */
static int offset_minutes_at(int64_t utc_seconds)
{
    time_t instant = (time_t)utc_seconds;
    struct tm local;

    if (!localtime_r(&instant, &local))
        return 0;
    return (int)(((int64_t)timegm(&local) - utc_seconds) / 60);
}

/* The offset that the machine's clock shows when it reads these local seconds. */
static int offset_minutes_of_local(int64_t local_seconds)
{
    int first = offset_minutes_at(local_seconds);

    return offset_minutes_at(local_seconds - 60 * (int64_t)first);
}

static struct photo_time time_of_local(enum photo_time_source source, int64_t local_seconds,
                                       int offset_minutes, bool offset_known)
{
    if (!offset_known)
        offset_minutes = offset_minutes_of_local(local_seconds);
    return (struct photo_time){source, local_seconds - 60 * (int64_t)offset_minutes, offset_minutes,
                               offset_known};
}

enum status calendar_parse(const char *text, struct photo_time *time, struct error *error)
{
    struct tm date;
    int offset_minutes = 0;
    bool offset_given = false;
    int64_t seconds = 0;
    const char *end =
        take_offset(take_date(text, "-", " T", &date), &offset_minutes, &offset_given);

    if (!end || *end || !seconds_of_date(&date, &seconds))
        return error_set(error, STATUS_USAGE,
                         "'%.60s' is no time: write it as \"2026-05-03 10:20\", with an offset "
                         "such as \"+02:00\" behind it if it is not this machine's clock",
                         text);
    *time = time_of_local(PHOTO_TIME_GIVEN, seconds, offset_minutes, offset_given);
    if (calendar_is_to_come(time))
        return error_set(error, STATUS_USAGE,
                         "'%.60s' is yet to come; a time that has been is wanted: check the year, "
                         "and this machine's clock",
                         text);
    return STATUS_OK;
}

struct photo_time calendar_of_exif(const char *original, const char *offset)
{
    struct tm date;
    int offset_minutes = 0;
    bool offset_given = false;
    int64_t seconds = 0;
    const char *end = take_date(original, ":", " ", &date);

    /* EXIF always writes the seconds; behind them some cameras leave more than a zero byte */
    if (!end || end - original < 19 || !seconds_of_date(&date, &seconds) || seconds < 0)
        return (struct photo_time){0};
    end = take_offset(offset, &offset_minutes, &offset_given);
    return time_of_local(PHOTO_TIME_EXIF, seconds, offset_minutes, offset_given && end);
}

struct photo_time calendar_of_file(int64_t utc_seconds)
{
    return (struct photo_time){.source = PHOTO_TIME_FILE,
                               .utc_seconds = utc_seconds,
                               .offset_minutes = offset_minutes_at(utc_seconds)};
}

struct photo_time calendar_now(void)
{
    int64_t now = (int64_t)time(NULL);

    return (struct photo_time){PHOTO_TIME_GIVEN, now, offset_minutes_at(now), true};
}

bool calendar_is_to_come(const struct photo_time *when)
{
    int64_t now = (int64_t)time(NULL);

    if (now < WRITTEN_UTC_SECONDS)
        now = WRITTEN_UTC_SECONDS;
    return when->source != PHOTO_TIME_NONE && when->utc_seconds > now + DAY_SECONDS;
}

void calendar_format(const struct photo_time *when, char text[CALENDAR_TEXT_SIZE])
{
    time_t shifted = (time_t)(when->utc_seconds + when->offset_minutes * 60);
    int offset = abs(when->offset_minutes);
    struct tm date;

    text[0] = '\0';
    if (when->source == PHOTO_TIME_NONE || !gmtime_r(&shifted, &date))
        return;
    snprintf(text, CALENDAR_TEXT_SIZE, "%04d-%02d-%02d %02d:%02d:%02d %c%02d:%02d",
             (date.tm_year + 1900) % 10000, date.tm_mon + 1, date.tm_mday, date.tm_hour,
             date.tm_min, date.tm_sec, when->offset_minutes < 0 ? '-' : '+', offset / 60 % 100,
             offset % 60);
}

struct photo_time calendar_date(const struct photo_time *told, char day[CALENDAR_TEXT_SIZE])
{
    struct photo_time time = told->source == PHOTO_TIME_NONE ? calendar_now() : *told;

    calendar_format(&time, day);
    day[10] = '\0';
    return time;
}
