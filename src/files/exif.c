#include "exif.h"

#include <libexif/exif-data.h>

#include <limits.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

/* Seconds from 1970 to a date and time read as UTC, proleptic Gregorian. */
static int64_t seconds_since_1970(const struct tm *fields)
{
    int64_t month = fields->tm_mon + 1;
    int64_t year = fields->tm_year + 1900 - (month <= 2);
    int64_t era = year / 400;
    int64_t year_of_era = year - era * 400;
    int64_t day_of_year = (153 * (month + (month > 2 ? -3 : 9)) + 2) / 5 + fields->tm_mday - 1;
    int64_t day = era * 146097 + year_of_era * 365 + year_of_era / 4 - year_of_era / 100 +
                  day_of_year - 719468;

    return ((day * 24 + fields->tm_hour) * 60 + fields->tm_min) * 60 + fields->tm_sec;
}

static int local_offset_minutes(int64_t utc_seconds)
{
    time_t instant = (time_t)utc_seconds;
    struct tm local;

    if (!localtime_r(&instant, &local))
        return 0;
    return (int)((seconds_since_1970(&local) - utc_seconds) / 60);
}

struct photo_time exif_time_of_file(int64_t utc_seconds)
{
    return (struct photo_time){.source = PHOTO_TIME_FILE,
                               .utc_seconds = utc_seconds,
                               .offset_minutes = local_offset_minutes(utc_seconds)};
}

static bool read_digits(const char *text, int count, int low, int high, int *value)
{
    *value = 0;
    for (int i = 0; i < count; i++) {
        if (text[i] < '0' || text[i] > '9')
            return false;
        *value = *value * 10 + (text[i] - '0');
    }
    return *value >= low && *value <= high;
}

/* "2026:03:14 15:09:26" */
static bool read_date(const char *text, struct tm *fields)
{
    static const int days[12] = {31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};

    memset(fields, 0, sizeof *fields);
    if (strlen(text) < 19 || text[4] != ':' || text[7] != ':' || text[13] != ':' || text[16] != ':')
        return false;
    if (!read_digits(text, 4, 1970, 9999, &fields->tm_year) ||
        !read_digits(text + 5, 2, 1, 12, &fields->tm_mon) ||
        !read_digits(text + 8, 2, 1, days[fields->tm_mon - 1], &fields->tm_mday) ||
        !read_digits(text + 11, 2, 0, 23, &fields->tm_hour) ||
        !read_digits(text + 14, 2, 0, 59, &fields->tm_min) ||
        !read_digits(text + 17, 2, 0, 60, &fields->tm_sec))
        return false;
    fields->tm_year -= 1900;
    fields->tm_mon -= 1;
    fields->tm_isdst = -1;
    return true;
}

/* "+01:00"; real zones lie between -12:00 and +14:00 */
static bool read_offset(const char *text, int *minutes)
{
    int hour, minute;

    if ((text[0] != '+' && text[0] != '-') || strlen(text) < 6 || text[3] != ':' ||
        !read_digits(text + 1, 2, 0, 14, &hour) || !read_digits(text + 4, 2, 0, 59, &minute))
        return false;
    *minutes = (text[0] == '-' ? -1 : 1) * (60 * hour + minute);
    return true;
}

static void read_text(ExifData *data, ExifTag tag, char *text, size_t size)
{
    ExifEntry *entry = exif_content_get_entry(data->ifd[EXIF_IFD_EXIF], tag);
    size_t length = 0;

    if (entry && entry->format == EXIF_FORMAT_ASCII && entry->data)
        length = entry->size < size ? entry->size : size - 1;
    if (length)
        memcpy(text, entry->data, length);
    text[length] = '\0';
}

static struct photo_time read_time(const char *original, const char *offset)
{
    struct photo_time taken = {0};
    struct tm fields;

    if (!read_date(original, &fields))
        return taken;
    taken.source = PHOTO_TIME_EXIF;
    taken.utc_seconds = seconds_since_1970(&fields);
    taken.offset_known = read_offset(offset, &taken.offset_minutes);
    if (!taken.offset_known) {
        struct tm local = fields;
        int64_t local_seconds = (int64_t)mktime(&local);

        taken.offset_minutes = (int)((taken.utc_seconds - local_seconds) / 60);
    }
    taken.utc_seconds -= 60 * (int64_t)taken.offset_minutes;
    return taken;
}

/* Some programs write it in four bytes, where the standard has two. */
static int read_orientation(ExifData *data)
{
    ExifEntry *entry = exif_content_get_entry(data->ifd[EXIF_IFD_0], EXIF_TAG_ORIENTATION);
    ExifByteOrder order = exif_data_get_byte_order(data);
    unsigned long orientation = 1;

    if (entry && entry->format == EXIF_FORMAT_SHORT && entry->size >= 2)
        orientation = exif_get_short(entry->data, order);
    else if (entry && entry->format == EXIF_FORMAT_LONG && entry->size >= 4)
        orientation = exif_get_long(entry->data, order);
    return orientation >= 1 && orientation <= 8 ? (int)orientation : 1;
}

static bool is_option_file(ExifData *data)
{
    ExifEntry *entry = exif_content_get_entry(data->ifd[EXIF_IFD_INTEROPERABILITY],
                                              EXIF_TAG_INTEROPERABILITY_INDEX);

    return entry && entry->size >= 3 && !memcmp(entry->data, "R03", 3);
}

static void on_log(ExifLog *log, ExifLogCode code, const char *domain, const char *format,
                   va_list arguments, void *starved)
{
    (void)log;
    (void)domain;
    (void)format;
    (void)arguments;
    if (code == EXIF_LOG_CODE_NO_MEMORY)
        *(bool *)starved = true;
}

/* Returns whether memory ran out, of which libexif tells its log only. */
static bool load(ExifData *data, ExifLog *log, const unsigned char *bytes, unsigned size)
{
    bool starved = false;

    exif_log_set_func(log, on_log, &starved);
    exif_data_log(data, log);
    /* By default libexif adds what the standard demands, so that a missing time reads as now. */
    exif_data_unset_option(data, EXIF_DATA_OPTION_FOLLOW_SPECIFICATION);
    exif_data_load_data(data, bytes, size);
    return starved;
}

static void read_block(ExifData *data, struct exif *exif)
{
    char original[32], offset[32];

    read_text(data, EXIF_TAG_DATE_TIME_ORIGINAL, original, sizeof original);
    read_text(data, EXIF_TAG_OFFSET_TIME_ORIGINAL, offset, sizeof offset);
    exif->orientation = read_orientation(data);
    exif->taken = read_time(original, offset);
    exif->option_file = is_option_file(data);
}

static enum status parse_block(const struct header *header, struct exif *exif, struct error *error)
{
    ExifData *data = exif_data_new();
    ExifLog *log = exif_log_new();
    bool starved = true;

    if (data && log) {
        starved = load(data, log, header->exif, (unsigned)header->exif_size);
        read_block(data, exif);
    }
    exif_log_unref(log);
    exif_data_unref(data);
    return starved ? error_set(error, STATUS_MEMORY, "out of memory for a photo's EXIF")
                   : STATUS_OK;
}

enum status exif_read(const struct header *header, struct exif *exif, struct error *error)
{
    enum status status = STATUS_OK;

    *exif = (struct exif){.orientation = 1};
    if (header->exif && header->exif_size <= UINT_MAX)
        status = parse_block(header, exif, error);
    if (header->orientation)
        exif->orientation = header->orientation;
    if (header->original[0])
        exif->taken = read_time(header->original, header->offset);
    return status;
}
