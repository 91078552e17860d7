#ifndef WOAD_FILES_PHOTO_H
#define WOAD_FILES_PHOTO_H

#include "base/error.h"
#include "values/colour.h"
#include "values/image.h"

#include <stdbool.h>
#include <stdint.h>

/* Limits on what is read; each is named in the message of the error it causes. */
#define PHOTO_FILE_BYTES_MAX (256LL * 1024 * 1024)
#define PHOTO_SIDE_PX_MAX 30000
#define PHOTO_SIDE_PX_MIN 64
#define PHOTO_PIXELS_MAX 120000000LL
#define PHOTO_PROFILE_BYTES_MAX (16 * 1024 * 1024)

/* Memory for a photo that can't be decoded line by line: progressive JPEG, HEIC. */
#define PHOTO_WHOLE_BYTES_MAX (384LL * 1024 * 1024)

/* The working picture holds at most this many pixels; larger photos are scaled as they are read. */
#define PHOTO_WORKING_PIXELS_MAX 4500000LL

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

/*
 * One decoded photo, upright: EXIF orientation has been applied. The working
 * picture is `image`; a point in stored pixels (full size, upright) is a
 * working point times `scale` (1 or more), to within one working pixel where
 * the size is no multiple of the scale.
 */
struct photo {
    char path[1024];
    char hash[33]; /* 128-bit content hash in hexadecimal: two equal files are one photo */
    int stored_width_px;
    int stored_height_px;
    double scale;
    struct image image;
    struct photo_time taken;
    char profile_name[128];    /* description of the embedded profile; "sRGB" when assumed */
    bool profile_assumed;      /* the file carries no profile: taken as sRGB, and said so */
    float *linear_from_sample; /* 3 x 65536: per channel, encoded sample to linear light, 0 to 1 */
};

/**
 * Read a JPEG, PNG, HEIC or TIFF photo, upright, scaled down to at most `pixels_max` pixels.
 *
 * Samples stay as encoded in the file where its profile is a matrix with one
 * curve a channel (the curves are in `linear_from_sample`; the primaries are
 * left to the colour fit); a photo with any other RGB profile is converted
 * through lcms2 to a wide-gamut space on the way in.
 *
 * Units:   `pixels_max` 0 means full size.
 * Owns:    the caller releases the photo with photo_release.
 * Returns: STATUS_OK; STATUS_FILE if it can't be opened or read; STATUS_FORMAT
 *          if it is no photo this program reads, is damaged, or passes a
 *          limit; STATUS_MEMORY.
 */
MUST_USE enum status photo_read(const char *path, long long pixels_max, struct photo *photo,
                                struct error *error);

void photo_release(struct photo *photo);

/** Linear light, 0 to 1, of one 16-bit sample of one channel. */
static inline float photo_linear(const struct photo *photo, int channel, uint16_t sample)
{
    return photo->linear_from_sample[((size_t)channel << 16) + sample];
}

/**
 * Write a picture as JPEG or PNG, after the ending of its name, tagged sRGB.
 *
 * Shape:   `image` holds sRGB-encoded samples.
 * Returns: STATUS_OK; STATUS_USAGE for another ending; STATUS_FILE, and then no
 *          file of that name is left half written.
 */
MUST_USE enum status photo_write_srgb(const char *path, const struct image *image,
                                      struct error *error);

#endif
