#include "files/clock.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#define DAY_SECONDS 86400

struct calendar {
    int year, month, day, hour, minute, second;
};

/* Days since 1970-01-01 in the proleptic Gregorian calendar, years counted from March. */
static int64_t days_from_date(int year, int month, int day)
{
    int64_t shifted_year = month > 2 ? year : year - 1;
    int64_t era = (shifted_year >= 0 ? shifted_year : shifted_year - 399) / 400;
    int64_t year_of_era = shifted_year - era * 400;
    int64_t day_of_year = (153 * (month + (month > 2 ? -3 : 9)) + 2) / 5 + day - 1;

    return era * 146097 + year_of_era * 365 + year_of_era / 4 - year_of_era / 100 + day_of_year -
           719468;
}

static int64_t seconds_from_calendar(const struct calendar *date)
{
    return days_from_date(date->year, date->month, date->day) * DAY_SECONDS + date->hour * 3600 +
           date->minute * 60 + date->second;
}

static struct calendar calendar_from_tm(const struct tm *broken)
{
    return (struct calendar){broken->tm_year + 1900, broken->tm_mon + 1, broken->tm_mday,
                             broken->tm_hour,        broken->tm_min,     broken->tm_sec};
}

/* The machine's offset at an instant, in seconds; 0 where the C library knows none. */
static int64_t local_offset(int64_t utc_seconds)
{
    time_t instant = (time_t)utc_seconds;
    struct tm broken;
    struct calendar local;

    if (!localtime_r(&instant, &broken))
        return 0;
    local = calendar_from_tm(&broken);
    return seconds_from_calendar(&local) - utc_seconds;
}

static bool is_leap(int year)
{
    return (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
}

static bool calendar_is_valid(const struct calendar *date)
{
    static const int month_days[12] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    int days;

    if (date->year < 1900 || date->year > 9999 || date->month < 1 || date->month > 12)
        return false;
    days = month_days[date->month - 1] + (date->month == 2 && is_leap(date->year));
    return date->day >= 1 && date->day <= days && date->hour >= 0 && date->hour < 24 &&
           date->minute >= 0 && date->minute < 60 && date->second >= 0 && date->second <= 60;
}

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

static const char *take_calendar(const char *at, struct calendar *date)
{
    at = take_character(take_digits(at, 4, &date->year), "-");
    at = take_character(take_digits(at, 2, &date->month), "-");
    at = take_character(take_digits(at, 2, &date->day), " T");
    at = take_character(take_digits(at, 2, &date->hour), ":");
    at = take_digits(at, 2, &date->minute);
    if (at && *at == ':')
        at = take_digits(at + 1, 2, &date->second);
    return at;
}

/* Read "+02:00", "-0530" or "Z", and set `given`; nothing at all is well too. */
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

/* The offset that the machine's clock shows when it reads these local seconds. */
static int local_offset_minutes(int64_t local_seconds)
{
    int64_t first = local_offset(local_seconds);

    return (int)(local_offset(local_seconds - first) / 60);
}

enum status clock_parse(const char *text, struct photo_time *time, struct error *error)
{
    struct calendar date = {0};
    int offset_minutes = 0;
    bool offset_given = false;
    const char *end = take_offset(take_calendar(text, &date), &offset_minutes, &offset_given);

    if (!end || *end || !calendar_is_valid(&date))
        return error_set(error, STATUS_USAGE,
                         "'%.60s' is no time: write it as \"2026-05-03 10:20\", with an offset "
                         "such as \"+02:00\" behind it if it is not this machine's clock",
                         text);
    if (!offset_given)
        offset_minutes = local_offset_minutes(seconds_from_calendar(&date));
    *time =
        (struct photo_time){PHOTO_TIME_GIVEN, seconds_from_calendar(&date) - offset_minutes * 60,
                            offset_minutes, offset_given};
    return STATUS_OK;
}

struct photo_time clock_now(void)
{
    int64_t now = (int64_t)time(NULL);

    return (struct photo_time){PHOTO_TIME_GIVEN, now, (int)(local_offset(now) / 60), true};
}

void clock_format(const struct photo_time *when, char text[CLOCK_TEXT_SIZE])
{
    time_t shifted = (time_t)(when->utc_seconds + when->offset_minutes * 60);
    int offset = abs(when->offset_minutes);
    struct tm broken;
    struct calendar date;

    text[0] = '\0';
    if (when->source == PHOTO_TIME_NONE || !gmtime_r(&shifted, &broken))
        return;
    date = calendar_from_tm(&broken);
    snprintf(text, CLOCK_TEXT_SIZE, "%04d-%02d-%02d %02d:%02d:%02d %c%02d:%02d", date.year % 10000,
             date.month, date.day, date.hour, date.minute, date.second,
             when->offset_minutes < 0 ? '-' : '+', offset / 60 % 100, offset % 60);
}
