#include "tiff.h"

#ifdef WOAD_TIFF

#include "base/memory.h"
#include "files/photo_limits.h"

#include <tiffio.h>

#include <errno.h>
#include <limits.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

#define PHOTOMETRIC_RAW_FROM 32803 /* a sensor's mosaic, or linear light of a raw file */
#define PICTURES_MAX 16            /* of one file that are looked at for a larger one */

/* --- what libtiff reads through and tells --- */

static tmsize_t on_read(thandle_t user, void *bytes, tmsize_t size)
{
    const struct tiff_file *tiff = user;

    errno = 0; /* so that a want of memory that comes after is told from an old one */
    return (tmsize_t)fread(bytes, 1, (size_t)size, tiff->file);
}

static tmsize_t on_write(thandle_t user, void *bytes, tmsize_t size)
{
    (void)user;
    (void)bytes;
    (void)size;
    return 0;
}

static toff_t on_seek(thandle_t user, toff_t offset, int whence)
{
    const struct tiff_file *tiff = user;

    if (offset > LLONG_MAX || fseeko(tiff->file, (off_t)offset, whence))
        return (toff_t)-1;
    return (toff_t)ftello(tiff->file);
}

static int on_close(thandle_t user)
{
    (void)user;
    return 0;
}

static toff_t on_size(thandle_t user)
{
    const struct tiff_file *tiff = user;
    off_t size = fseeko(tiff->file, 0, SEEK_END) ? 0 : ftello(tiff->file);

    return size > 0 ? (toff_t)size : 0;
}

static int on_error(TIFF *unused, void *user, const char *module, const char *format,
                    va_list arguments)
{
    struct tiff_file *tiff = user;

    (void)unused;
    (void)module;
    if (!tiff->reason[0]) {
        tiff->starved = errno == ENOMEM;
        vsnprintf(tiff->reason, sizeof tiff->reason, format, arguments);
    }
    return 1;
}

/* Of warnings only the JPEG decoder's mean lost data, which it fills with grey. */
static int on_warning(TIFF *unused, void *user, const char *module, const char *format,
                      va_list arguments)
{
    return module && !strcmp(module, "JPEGLib") ? on_error(unused, user, module, format, arguments)
                                                : 1;
}

static TIFF *open_through(struct tiff_file *tiff)
{
    TIFFOpenOptions *options = TIFFOpenOptionsAlloc();
    TIFF *opened = NULL;

    tiff->starved = !options;
    if (!options)
        return NULL;
    TIFFOpenOptionsSetMaxSingleMemAlloc(options, PHOTO_WHOLE_BYTES_MAX);
    TIFFOpenOptionsSetErrorHandlerExtR(options, on_error, tiff);
    TIFFOpenOptionsSetWarningHandlerExtR(options, on_warning, tiff);
    opened = TIFFClientOpenExt(tiff->path, "rm", tiff, on_read, on_write, on_seek, on_close,
                               on_size, NULL, NULL, options);
    TIFFOpenOptionsFree(options);
    return opened;
}

/* --- faults --- */

enum status tiff_refuse(const struct tiff_file *tiff, const char *seen, struct error *error)
{
    return error_set(error, STATUS_FORMAT,
                     "%s: %s; a whole RGB TIFF of 8 or 16 bits is wanted: copy it again, or export "
                     "the photo anew as TIFF, JPEG or PNG",
                     tiff->path, seen);
}

enum status tiff_report(const struct tiff_file *tiff, struct error *error)
{
    char seen[sizeof tiff->reason + 100];

    if (ferror(tiff->file))
        return error_set(error, STATUS_FILE, "%s: can't be read to its end: check the disk",
                         tiff->path);
    if (tiff->starved)
        return error_set(error, STATUS_MEMORY, "%s: out of memory to decode it", tiff->path);
    snprintf(seen, sizeof seen, "is cut short or damaged (%s)",
             tiff->reason[0] ? tiff->reason : "no more is known");
    return tiff_refuse(tiff, seen, error);
}

/* --- the header --- */

static unsigned field_16(const struct tiff_file *tiff, uint32_t tag, unsigned missing)
{
    uint16_t value = 0;

    return TIFFGetFieldDefaulted(tiff->tiff, tag, &value) ? value : missing;
}

static long long field_32(const struct tiff_file *tiff, uint32_t tag)
{
    uint32_t value = 0;

    return TIFFGetField(tiff->tiff, tag, &value) ? (long long)value : 0;
}

static bool is_raw(const struct tiff_file *tiff)
{
    uint8_t *version;

    return TIFFGetField(tiff->tiff, TIFFTAG_DNGVERSION, &version) ||
           field_16(tiff, TIFFTAG_PHOTOMETRIC, 0) >= PHOTOMETRIC_RAW_FROM ||
           (field_32(tiff, TIFFTAG_SUBFILETYPE) & FILETYPE_REDUCEDIMAGE);
}

static enum status check_kind(const struct tiff_file *tiff, struct error *error)
{
    unsigned bits = field_16(tiff, TIFFTAG_BITSPERSAMPLE, 0);

    switch (field_16(tiff, TIFFTAG_PHOTOMETRIC, UINT_MAX)) {
    case PHOTOMETRIC_RGB:
        break;
    case PHOTOMETRIC_YCBCR:
        if (field_16(tiff, TIFFTAG_COMPRESSION, 0) == COMPRESSION_JPEG)
            break;
        return tiff_refuse(tiff, "is a YCbCr picture", error);
    case PHOTOMETRIC_MINISBLACK:
    case PHOTOMETRIC_MINISWHITE:
        return tiff_refuse(tiff, "is a greyscale picture, without colours", error);
    case PHOTOMETRIC_SEPARATED:
        return tiff_refuse(tiff, "is a CMYK picture, made for printing", error);
    default:
        return tiff_refuse(tiff, "has colours of another kind than RGB", error);
    }
    if ((bits != 8 && bits != 16) || field_16(tiff, TIFFTAG_SAMPLEFORMAT, 0) != SAMPLEFORMAT_UINT)
        return tiff_refuse(tiff, "has samples that are not whole numbers of 8 or 16 bits", error);
    if (tiff->channels != 3 && tiff->channels != 4)
        return tiff_refuse(tiff, "has other than three or four channels", error);
    return STATUS_OK;
}

static enum status check_packing(const struct tiff_file *tiff, struct error *error)
{
    switch (field_16(tiff, TIFFTAG_COMPRESSION, COMPRESSION_NONE)) {
    case COMPRESSION_NONE:
    case COMPRESSION_LZW:
    case COMPRESSION_PACKBITS:
    case COMPRESSION_DEFLATE:
    case COMPRESSION_ADOBE_DEFLATE:
    case COMPRESSION_JPEG:
        return STATUS_OK;
    default:
        return tiff_refuse(tiff, "is packed in a way that is not read", error);
    }
}

/* What comes first may be a mere preview of another picture in the file. */
static enum status check_largest(const struct tiff_file *tiff, struct error *error)
{
    long long pixels = field_32(tiff, TIFFTAG_IMAGEWIDTH) * field_32(tiff, TIFFTAG_IMAGELENGTH);
    bool largest = true;

    for (int i = 1; i < PICTURES_MAX && largest && TIFFReadDirectory(tiff->tiff); i++)
        largest = field_32(tiff, TIFFTAG_IMAGEWIDTH) * field_32(tiff, TIFFTAG_IMAGELENGTH) < pixels;
    if (!TIFFSetDirectory(tiff->tiff, 0))
        return tiff_report(tiff, error);
    return largest ? STATUS_OK
                   : tiff_refuse(tiff, "holds several pictures, and the first is not the largest",
                                 error);
}

static void copy_text(const struct tiff_file *tiff, uint32_t tag, char *to, size_t size)
{
    const char *text;

    if (TIFFGetField(tiff->tiff, tag, &text) && text)
        snprintf(to, size, "%s", text);
}

/* Damaged EXIF is as missing. */
static enum status copy_time(struct tiff_file *tiff, struct header *header, struct error *error)
{
    toff_t offset;

    if (!TIFFGetField(tiff->tiff, TIFFTAG_EXIFIFD, &offset))
        return STATUS_OK;
    if (TIFFReadEXIFDirectory(tiff->tiff, offset)) {
        copy_text(tiff, EXIFTAG_DATETIMEORIGINAL, header->original, sizeof header->original);
        copy_text(tiff, EXIFTAG_OFFSETTIMEORIGINAL, header->offset, sizeof header->offset);
    }
    tiff->reason[0] = '\0';
    return TIFFSetDirectory(tiff->tiff, 0) ? STATUS_OK : tiff_report(tiff, error);
}

static enum status copy_icc(const struct tiff_file *tiff, struct header *header,
                            struct error *error)
{
    uint32_t size = 0;
    void *icc = NULL;

    if (!TIFFGetField(tiff->tiff, TIFFTAG_ICCPROFILE, &size, &icc) || !size)
        return STATUS_OK;
    header->icc = memory_array(size, 1, "a colour profile", error);
    if (!header->icc)
        return error->status;
    memcpy(header->icc, icc, size);
    header->icc_size = size;
    return STATUS_OK;
}

static void note_layout(struct tiff_file *tiff)
{
    uint16_t extra = 0;
    uint16_t *kinds = NULL;

    tiff->sample_bytes = (int)field_16(tiff, TIFFTAG_BITSPERSAMPLE, 8) / 8;
    tiff->apart = field_16(tiff, TIFFTAG_PLANARCONFIG, 0) == PLANARCONFIG_SEPARATE;
    tiff->tiled = TIFFIsTiled(tiff->tiff);
    tiff->piece_width_px = tiff->width_px;
    tiff->piece_height_px = tiff_at_most(field_32(tiff, TIFFTAG_ROWSPERSTRIP), tiff->height_px);
    if (tiff->tiled) {
        tiff->piece_width_px = tiff_at_most(field_32(tiff, TIFFTAG_TILEWIDTH), INT_MAX);
        tiff->piece_height_px = tiff_at_most(field_32(tiff, TIFFTAG_TILELENGTH), INT_MAX);
    }
    if (tiff->channels > IMAGE_CHANNELS &&
        TIFFGetField(tiff->tiff, TIFFTAG_EXTRASAMPLES, &extra, &kinds) && extra)
        tiff->has_alpha = kinds[0] != EXTRASAMPLE_UNSPECIFIED;
    if (field_16(tiff, TIFFTAG_PHOTOMETRIC, 0) == PHOTOMETRIC_YCBCR)
        TIFFSetField(tiff->tiff, TIFFTAG_JPEGCOLORMODE, JPEGCOLORMODE_RGB);
}

static enum status read_header(struct tiff_file *tiff, struct header *header, struct error *error)
{
    enum status status;
    unsigned orientation = field_16(tiff, TIFFTAG_ORIENTATION, 1);

    header->width_px = tiff->width_px = tiff_at_most(field_32(tiff, TIFFTAG_IMAGEWIDTH), INT_MAX);
    header->height_px = tiff->height_px =
        tiff_at_most(field_32(tiff, TIFFTAG_IMAGELENGTH), INT_MAX);
    header->orientation = orientation >= 1 && orientation <= 8 ? (int)orientation : 1;
    tiff->channels = (int)field_16(tiff, TIFFTAG_SAMPLESPERPIXEL, 1);
    header->raw = is_raw(tiff);
    if (header->raw)
        return copy_time(tiff, header, error);
    status = check_kind(tiff, error);
    if (!status)
        status = check_packing(tiff, error);
    if (!status)
        status = copy_icc(tiff, header, error);
    if (!status)
        status = check_largest(tiff, error);
    if (!status)
        status = copy_time(tiff, header, error);
    if (!status)
        note_layout(tiff);
    return status;
}

enum status tiff_file_open(FILE *file, const char *path, void **decoder, struct header *header,
                           struct error *error)
{
    struct tiff_file *opened = memory_array(1, sizeof *opened, "a TIFF decoder", error);

    *decoder = opened;
    if (!opened)
        return error->status;
    opened->file = file;
    opened->path = path;
    opened->tiff = open_through(opened);
    return opened->tiff ? read_header(opened, header, error) : tiff_report(opened, error);
}

void tiff_file_close(void *decoder)
{
    struct tiff_file *tiff = decoder;

    if (!tiff)
        return;
    if (tiff->tiff)
        TIFFClose(tiff->tiff);
    free(tiff->piece);
    free(tiff->lines);
    free(tiff);
}

#endif
