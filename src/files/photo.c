#include "files/photo.h"

#include "base/utf8.h"
#include "files/content.h"
#include "exif.h"
#include "format.h"
#include "header.h"
#include "jpeg_file.h"
#include "png_file.h"
#include "profile.h"
#include "raw_file.h"
#include "rows.h"
#include "files/whole_file.h"

#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

/* Exponents beyond these are no camera's or screen's: the file's figure is wrong. */
#define GAMMA_MIN 0.5
#define GAMMA_MAX 4.0
#define TRANSFER_UNSPECIFIED 2      /* ITU-T H.273 */
#define OPRGB_GAMMA (563.0 / 256.0) /* IEC 61966-2-5 */

/* One photo on its way from file to memory. */
struct reading_file {
    const char *path;
    struct content content;
    const struct format *format;
    void *decoder;
    struct header header;
    struct exif exif;
    struct profile profile;
};

static enum status open_as(struct reading_file *file, struct error *error)
{
    return file->format->open(file->content.stream, file->path, &file->decoder, &file->header,
                              error);
}

/* Many raw files are TIFF, and only their tags tell: what those say of the time is kept. */
static enum status open_file(struct reading_file *file, struct error *error)
{
    enum status status = content_open(file->path, &file->content, error);

    if (status)
        return status;
    if (file->content.own)
        return error_set(error, STATUS_FORMAT,
                         "%s: is a picture that woad made, not a photo: measure the photo it was "
                         "made of",
                         file->path);
    file->format = format_of(file->content.signature);
    if (!file->format)
        return error_set(
            error, STATUS_FORMAT,
            "%s: is %s; a JPEG, PNG, HEIC, TIFF or raw photo is wanted: save or export it "
            "as JPEG or PNG",
            file->path, file->content.kind);
    status = open_as(file, error);
    if (!status && file->header.raw && file->content.signature == SIGNATURE_TIFF) {
        file->format->close(file->decoder);
        file->decoder = NULL;
        file->format = format_of(SIGNATURE_RAW);
        status = open_as(file, error);
    }
    return status;
}

static enum status check_size(const struct reading_file *file, struct error *error)
{
    int width_px = file->header.width_px;
    int height_px = file->header.height_px;

    if (width_px < PHOTO_SIDE_PX_MIN || height_px < PHOTO_SIDE_PX_MIN)
        return error_set(error, STATUS_FORMAT,
                         "%s: has %d x %d pixels; at least %d a side are wanted: use the photo as "
                         "the camera took it",
                         file->path, width_px, height_px, PHOTO_SIDE_PX_MIN);
    if (width_px > PHOTO_SIDE_PX_MAX || height_px > PHOTO_SIDE_PX_MAX ||
        (long long)width_px * height_px > PHOTO_PIXELS_MAX)
        return error_set(error, STATUS_FORMAT,
                         "%s: has %d x %d pixels; at most %d a side and %lld million in all are "
                         "read: save it smaller",
                         file->path, width_px, height_px, PHOTO_SIDE_PX_MAX,
                         PHOTO_PIXELS_MAX / 1000000);
    return STATUS_OK;
}

static enum status understand_colours(struct reading_file *file, struct photo *photo,
                                      struct error *error)
{
    const struct header *header = &file->header;

    if (header->raw)
        return profile_from_gamma("the sensor's own light", RAW_FILE_EXPONENT, &file->profile,
                                  error);
    if (header->transfer_first)
        return profile_from_transfer(file->path, header->transfer, &file->profile, error);
    if (header->icc)
        return profile_from_icc(file->path, header->icc, header->icc_size, &file->profile, error);
    if (file->exif.option_file)
        return profile_from_gamma("opRGB", OPRGB_GAMMA, &file->profile, error);
    if (header->gamma > 0 && (header->gamma < GAMMA_MIN || header->gamma > GAMMA_MAX))
        return error_set(error, STATUS_FORMAT,
                         "%s: names a gamma of %g; %g to %g is wanted: export the photo again as "
                         "sRGB",
                         file->path, header->gamma, GAMMA_MIN, GAMMA_MAX);
    if (header->gamma > 0)
        return profile_from_gamma(NULL, header->gamma, &file->profile, error);
    if (header->transfer && header->transfer != TRANSFER_UNSPECIFIED)
        return profile_from_transfer(file->path, header->transfer, &file->profile, error);
    photo->profile_assumed = !header->srgb;
    return profile_srgb(&file->profile, error);
}

static enum status decode(struct reading_file *file, long long pixels_max, struct photo *photo,
                          struct error *error)
{
    struct header *header = &file->header;
    struct rows_incoming incoming = {.orientation = file->exif.orientation,
                                     .pixels_max = pixels_max};
    struct rows rows;
    enum status status;

    header_hand_over(header, header->width_px, header->height_px, 1);
    if (file->format->scale)
        file->format->scale(header, pixels_max);
    incoming.width_px = header->decoded_width_px;
    incoming.height_px = header->decoded_height_px;
    status = rows_begin(&rows, &incoming, &file->profile, &photo->image, error);
    photo->scale = header->scale * rows.factor;
    if (!status)
        status = file->format->decode(file->decoder, &rows, error);
    rows_release(&rows);
    return status;
}

/* A time that is yet to come is as missing. */
static void describe_time(const struct reading_file *file, struct photo *photo)
{
    const struct photo_time found[2] = {file->exif.taken, calendar_of_file(file->content.changed)};

    for (int i = 0; i < 2 && photo->taken.source == PHOTO_TIME_NONE; i++) {
        if (calendar_is_to_come(&found[i]))
            photo->traces.time_to_come = true;
        else
            photo->taken = found[i];
    }
}

static void describe_traces(const struct reading_file *file, struct photo_traces *traces)
{
    const struct header *header = &file->header;

    traces->exif_missing = !header->raw && !header->exif && !header->original[0];
    traces->gain_map = header->gain_map;
    traces->luma_step = header->luma.flat;
    traces->luma_step_slow = header->luma.slow;
    traces->chroma_step = header->chroma.flat;
    traces->chroma_step_slow = header->chroma.slow;
    memcpy(traces->software, file->exif.software, sizeof traces->software);
}

/* Take over what the photo keeps of the file. */
static void describe(struct reading_file *file, struct photo *photo)
{
    int turned = file->exif.orientation >= 5;

    memcpy(photo->hash, file->content.hash, sizeof photo->hash);
    photo->stored_width_px = turned ? file->header.height_px : file->header.width_px;
    photo->stored_height_px = turned ? file->header.width_px : file->header.height_px;
    photo->raw = file->header.raw;
    describe_time(file, photo);
    describe_traces(file, &photo->traces);
    memcpy(photo->profile_name, file->profile.name, sizeof photo->profile_name);
    photo->linear_from_sample = file->profile.linear_from_sample;
    file->profile.linear_from_sample = NULL;
}

static void close_file(struct reading_file *file)
{
    if (file->format)
        file->format->close(file->decoder);
    profile_release(&file->profile);
    header_release(&file->header);
    content_release(&file->content);
}

enum status photo_read(const char *path, long long pixels_max, struct photo *photo,
                       struct error *error)
{
    struct reading_file file = {.path = path};
    enum status status;

    memset(photo, 0, sizeof *photo);
    if (strlen(path) > PHOTO_PATH_BYTES_MAX)
        return error_set(error, STATUS_FILE,
                         "%s: the path is longer than %d bytes: move the photo to a shorter one",
                         path, PHOTO_PATH_BYTES_MAX);
    utf8_show(path, photo->path, sizeof photo->path);
    status = open_file(&file, error);
    if (!status)
        status = check_size(&file, error);
    if (!status)
        status = exif_read(&file.header, &file.exif, error);
    if (!status)
        status = understand_colours(&file, photo, error);
    if (!status)
        status = decode(&file, pixels_max, photo, error);
    if (!status)
        describe(&file, photo);
    close_file(&file);
    if (status)
        photo_release(photo);
    return status;
}

void photo_release(struct photo *photo)
{
    image_release(&photo->image);
    free(photo->linear_from_sample);
    memset(photo, 0, sizeof *photo);
}

enum status photo_write_srgb(const char *path, const struct image *image, struct error *error)
{
    size_t length = strlen(path);
    bool as_png = length > 4 && !strcasecmp(path + length - 4, ".png");
    struct whole_file file;
    unsigned char *icc;
    size_t icc_size;
    enum status status = profile_srgb_icc(&icc, &icc_size, error);

    if (status)
        return status;
    status = whole_file_begin(path, &whole_file_jpeg_or_png, &file, error);
    if (!status) {
        status = as_png ? png_file_write(file.stream, path, image, icc, icc_size, error)
                        : jpeg_file_write(file.stream, path, image, icc, icc_size, error);
        status = whole_file_end(&file, status, error);
    }
    free(icc);
    return status;
}
