#include "png_file.h"

#include "base/memory.h"
#include "files/mark.h"
#include "files/photo_limits.h"

#include <png.h>

#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

#define SIGNATURE_LENGTH 8
#define CHUNK_FRAME 12 /* length, type and check sum */
#define CHUNK_SUM_BYTES 4
#define CICP_BYTES 4
#define TRANSFER_UNSPECIFIED 2 /* ITU-T H.273 */
#define EXIF_BYTES_MAX (1024 * 1024)
#define COMPRESSION 4 /* photos gain nothing from more */

struct png_file {
    png_structp png;
    png_infop info;
    FILE *file;
    const char *path;
    char reason[128];
    bool icc_doubted;
    bool icc_damaged;
    bool see_through;
    int line; /* lines decoded */
    struct header *header;
    struct rows *rows;
    uint16_t *pixels; /* one line with alpha, or the whole of an interlaced picture */
    png_bytep *lines; /* into `pixels`, for an interlaced picture */
    int channels;
};

static void on_error(png_structp png, png_const_charp message)
{
    struct png_file *file = png_get_error_ptr(png);

    snprintf(file->reason, sizeof file->reason, "%s", message);
    png_longjmp(png, 1);
}

/* libpng drops a profile it can't read, keeps one whose check sum is wrong, and says so only here.
 */
static void on_warning(png_structp png, png_const_charp message)
{
    struct png_file *file = png_get_error_ptr(png);

    if (strncmp(message, "iCCP", 4) != 0)
        return;
    file->icc_doubted = true;
    snprintf(file->reason, sizeof file->reason, "%s", message);
    file->icc_damaged = file->icc_damaged || strstr(message, "CRC");
}

static enum status refuse(const struct png_file *png, const char *seen, struct error *error)
{
    return error_set(error, STATUS_FORMAT,
                     "%s: %s; a whole, opaque colour PNG is wanted: copy it again, or export the "
                     "photo anew as JPEG or PNG",
                     png->path, seen);
}

static enum status report(const struct png_file *png, struct error *error)
{
    char seen[sizeof png->reason + 100];

    if (strstr(png->reason, "memory"))
        return error_set(error, STATUS_MEMORY, "%s: out of memory to decode it", png->path);
    if (ferror(png->file))
        return error_set(error, STATUS_FILE, "%s: can't be read to its end: check the disk",
                         png->path);
    if (feof(png->file))
        snprintf(seen, sizeof seen, "is cut short: its data ends after line %d of %d", png->line,
                 png->header->height_px);
    else
        snprintf(seen, sizeof seen, "is damaged (%s)", png->reason);
    return refuse(png, seen, error);
}

/* The one place that setjmp returns to: a step runs under it, and its faults end here. */
static enum status guard(struct png_file *png, void (*step)(struct png_file *), struct error *error)
{
    if (setjmp(png_jmpbuf(png->png)))
        return report(png, error);
    step(png);
    return STATUS_OK;
}

static void read_header(struct png_file *png)
{
    png_init_io(png->png, png->file);
    png_set_user_limits(png->png, PNG_UINT_31_MAX, PNG_UINT_31_MAX);
    png_set_chunk_malloc_max(png->png, PHOTO_PROFILE_BYTES_MAX);
    png_set_option(png->png, PNG_SKIP_sRGB_CHECK_PROFILE, PNG_OPTION_ON);
    png_read_info(png->png, png->info);
    png->header->width_px = (int)png_get_image_width(png->png, png->info);
    png->header->height_px = (int)png_get_image_height(png->png, png->info);
}

static enum status copy_icc(struct png_file *png, struct error *error)
{
    struct header *header = png->header;
    png_charp name;
    png_bytep icc;
    png_uint_32 size;
    int method, intent;
    double gamma;

    if (!png->icc_damaged && png_get_iCCP(png->png, png->info, &name, &method, &icc, &size)) {
        header->icc = memory_array(size, 1, "a colour profile", error);
        if (!header->icc)
            return error->status;
        memcpy(header->icc, icc, size);
        header->icc_size = size;
    } else if (png->icc_doubted) {
        return strstr(png->reason, "memory") ? report(png, error)
                                             : refuse(png, "has a damaged colour profile", error);
    } else if (png_get_sRGB(png->png, png->info, &intent)) {
        header->srgb = true;
    } else if (png_get_gAMA(png->png, png->info, &gamma)) {
        header->gamma = 1 / gamma;
    }
    return STATUS_OK;
}

static enum status copy_exif(struct png_file *png, size_t size, struct error *error)
{
    struct header *header = png->header;

    header->exif = memory_array(size + 6, 1, "a photo's EXIF", error);
    if (!header->exif)
        return error->status;
    memcpy(header->exif, "Exif\0\0", 6);
    header->exif_size = 6 + fread(header->exif + 6, 1, size, png->file);
    fseeko(png->file, CHUNK_SUM_BYTES, SEEK_CUR);
    return STATUS_OK;
}

/* Primaries, the code of the curve, matrix, range; and the chunk's check sum, which is passed over.
 * Source: PNG (Third Edition), 11.3.2.6. */
static void note_transfer(struct png_file *png)
{
    unsigned char codes[CICP_BYTES];

    if (fread(codes, 1, sizeof codes, png->file) == sizeof codes)
        png->header->transfer = codes[1];
    png->header->transfer_first =
        png->header->transfer && png->header->transfer != TRANSFER_UNSPECIFIED;
    fseeko(png->file, CHUNK_SUM_BYTES, SEEK_CUR);
}

/* EXIF may stand after the picture data, where libpng comes too late, and the code of a curve
 * libpng does not know: look for both ahead. */
static enum status look_ahead(struct png_file *png, struct error *error)
{
    unsigned char frame[8];
    enum status status = STATUS_OK;

    if (fseeko(png->file, SIGNATURE_LENGTH, SEEK_SET))
        return STATUS_OK;
    while (!status && fread(frame, 1, sizeof frame, png->file) == 8) {
        off_t size = png_get_uint_32(frame);

        if (!memcmp(frame + 4, "IEND", 4))
            break;
        if (!memcmp(frame + 4, "cICP", 4) && size == CICP_BYTES)
            note_transfer(png);
        else if (!memcmp(frame + 4, "eXIf", 4) && size > 0 && size <= EXIF_BYTES_MAX &&
                 !png->header->exif)
            status = copy_exif(png, (size_t)size, error);
        else if (fseeko(png->file, size + CHUNK_FRAME - (off_t)sizeof frame, SEEK_CUR))
            break;
    }
    rewind(png->file);
    return status;
}

static enum status check_colours(const struct png_file *png, struct error *error)
{
    if (!(png_get_color_type(png->png, png->info) & PNG_COLOR_MASK_COLOR))
        return refuse(png, "is a greyscale picture, without colours", error);
    return STATUS_OK;
}

enum status png_file_open(FILE *file, const char *path, void **decoder, struct header *header,
                          struct error *error)
{
    enum status status;
    struct png_file *opened = memory_array(1, sizeof *opened, "a PNG decoder", error);

    *decoder = opened;
    if (!opened)
        return error->status;
    opened->file = file;
    opened->path = path;
    opened->header = header;
    opened->png = png_create_read_struct(PNG_LIBPNG_VER_STRING, opened, on_error, on_warning);
    opened->info = opened->png ? png_create_info_struct(opened->png) : NULL;
    if (!opened->info)
        return error_set(error, STATUS_MEMORY, "%s: out of memory to decode it", path);
    status = look_ahead(opened, error);
    if (!status)
        status = guard(opened, read_header, error);
    if (!status)
        status = check_colours(opened, error);
    if (!status)
        status = copy_icc(opened, error);
    return status;
}

static void choose_settings(struct png_file *png)
{
    const uint16_t one = 1;

    png_set_expand(png->png);
    png_set_expand_16(png->png);
    if (*(const unsigned char *)&one)
        png_set_swap(png->png);
    png_read_update_info(png->png, png->info);
    png->channels = png_get_channels(png->png, png->info);
}

static bool is_interlaced(const struct png_file *png)
{
    return png_get_interlace_type(png->png, png->info) != PNG_INTERLACE_NONE;
}

static enum status allocate_pixels(struct png_file *png, struct error *error)
{
    size_t line = (size_t)png->header->width_px * (size_t)png->channels;
    size_t lines = is_interlaced(png) ? (size_t)png->header->height_px : 1;
    long long bytes = (long long)(line * lines * sizeof *png->pixels);

    if (bytes > PHOTO_WHOLE_BYTES_MAX)
        return error_set(error, STATUS_FORMAT,
                         "%s: is an interlaced PNG that takes %lld MB to decode; at most %lld MB "
                         "are used: save it without interlacing, or smaller",
                         png->path, bytes >> 20, PHOTO_WHOLE_BYTES_MAX >> 20);
    png->pixels = memory_array(line * lines, sizeof *png->pixels, "a PNG picture", error);
    if (!png->pixels)
        return error->status;
    png->lines = memory_array(lines, sizeof *png->lines, "a PNG picture", error);
    if (!png->lines)
        return error->status;
    for (size_t i = 0; i < lines; i++)
        png->lines[i] = (png_bytep)(png->pixels + i * line);
    return STATUS_OK;
}

static void take_line(struct png_file *png, const uint16_t *from)
{
    uint16_t *to = rows_line(png->rows);
    unsigned alpha = IMAGE_SAMPLE_MAX;

    for (int x = 0; x < png->header->width_px; x++, from += png->channels) {
        for (int k = 0; k < IMAGE_CHANNELS; k++)
            *to++ = from[k];
        if (png->channels > IMAGE_CHANNELS)
            alpha &= from[IMAGE_CHANNELS];
    }
    png->see_through = png->see_through || alpha != IMAGE_SAMPLE_MAX;
    rows_add(png->rows);
    png->line++;
}

static void decode_lines(struct png_file *png)
{
    bool whole = is_interlaced(png);

    if (whole)
        png_read_image(png->png, png->lines);
    while (png->line < png->header->height_px && !png->see_through) {
        if (!whole)
            png_read_row(png->png, png->lines[0], NULL);
        take_line(png, (const uint16_t *)(const void *)png->lines[whole ? png->line : 0]);
    }
    if (!png->see_through)
        png_read_end(png->png, NULL);
    rows_finish(png->rows);
}

enum status png_file_decode(void *decoder, struct rows *rows, struct error *error)
{
    struct png_file *png = decoder;
    enum status status = guard(png, choose_settings, error);

    png->rows = rows;
    if (!status)
        status = allocate_pixels(png, error);
    if (!status)
        status = guard(png, decode_lines, error);
    if (!status && png->see_through)
        status = refuse(png, "has see-through pixels, whose colour is not known", error);
    return status;
}

void png_file_close(void *decoder)
{
    struct png_file *png = decoder;

    if (!png)
        return;
    if (png->png)
        png_destroy_read_struct(&png->png, &png->info, NULL);
    free(png->pixels);
    free(png->lines);
    free(png);
}

struct writer {
    png_structp png;
    png_infop info;
    const struct image *image;
    const unsigned char *icc;
    size_t icc_size;
    char reason[128];
};

static void on_write_error(png_structp png, png_const_charp message)
{
    struct writer *writer = png_get_error_ptr(png);

    snprintf(writer->reason, sizeof writer->reason, "%s", message);
    png_longjmp(png, 1);
}

static void on_write_warning(png_structp png, png_const_charp message)
{
    (void)png;
    (void)message;
}

static void encode(struct writer *writer, FILE *file)
{
    const struct image *image = writer->image;
    png_text mark = {.compression = PNG_TEXT_COMPRESSION_NONE,
                     .key = (char[]){"Software"},
                     .text = (char[]){MARK_TEXT}};
    const uint16_t one = 1;

    png_init_io(writer->png, file);
    png_set_compression_level(writer->png, COMPRESSION);
    png_set_IHDR(writer->png, writer->info, (png_uint_32)image->width_px,
                 (png_uint_32)image->height_px, 16, PNG_COLOR_TYPE_RGB, PNG_INTERLACE_NONE,
                 PNG_COMPRESSION_TYPE_DEFAULT, PNG_FILTER_TYPE_DEFAULT);
    png_set_iCCP(writer->png, writer->info, "sRGB", PNG_COMPRESSION_TYPE_DEFAULT, writer->icc,
                 (png_uint_32)writer->icc_size);
    png_set_text(writer->png, writer->info, &mark, 1);
    png_write_info(writer->png, writer->info);
    if (*(const unsigned char *)&one)
        png_set_swap(writer->png);
    for (int y = 0; y < image->height_px; y++)
        png_write_row(writer->png, (png_const_bytep)image_at(image, 0, y));
    png_write_end(writer->png, NULL);
}

/* Returns whether all was written; its own function, so that setjmp guards no locals. */
static bool guarded_encode(struct writer *writer, FILE *file)
{
    if (setjmp(png_jmpbuf(writer->png)))
        return false;
    encode(writer, file);
    return true;
}

enum status png_file_write(FILE *file, const char *path, const struct image *image,
                           const unsigned char *icc, size_t icc_size, struct error *error)
{
    struct writer writer = {
        .image = image, .icc = icc, .icc_size = icc_size, .reason = "out of memory"};
    bool written;

    writer.png =
        png_create_write_struct(PNG_LIBPNG_VER_STRING, &writer, on_write_error, on_write_warning);
    writer.info = writer.png ? png_create_info_struct(writer.png) : NULL;
    written = writer.info && guarded_encode(&writer, file);
    png_destroy_write_struct(&writer.png, &writer.info);
    if (!written && strstr(writer.reason, "memory"))
        return error_set(error, STATUS_MEMORY, "%s: out of memory to write it", path);
    return written ? STATUS_OK
                   : error_set(error, STATUS_FILE,
                               "%s: can't be written as PNG (%s): check the disk's free space",
                               path, writer.reason);
}
