#include "exif.h"

#include <libexif/exif-data.h>

#include <limits.h>
#include <stdarg.h>
#include <string.h>

static void read_text(ExifContent *part, ExifTag tag, char *text, size_t size)
{
    ExifEntry *entry = exif_content_get_entry(part, tag);
    size_t length = 0;

    if (entry && entry->format == EXIF_FORMAT_ASCII && entry->data)
        length = entry->size < size ? entry->size : size - 1;
    if (length)
        memcpy(text, entry->data, length);
    text[length] = '\0';
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

    read_text(data->ifd[EXIF_IFD_EXIF], EXIF_TAG_DATE_TIME_ORIGINAL, original, sizeof original);
    read_text(data->ifd[EXIF_IFD_EXIF], EXIF_TAG_OFFSET_TIME_ORIGINAL, offset, sizeof offset);
    read_text(data->ifd[EXIF_IFD_0], EXIF_TAG_SOFTWARE, exif->software, sizeof exif->software);
    exif->orientation = read_orientation(data);
    exif->taken = calendar_of_exif(original, offset);
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
        exif->taken = calendar_of_exif(header->original, header->offset);
    return status;
}
