#ifndef WOAD_FILES_PHOTO_H
#define WOAD_FILES_PHOTO_H

#include "base/error.h"
#include "files/photo_limits.h"
#include "values/calendar.h"
#include "values/colour.h"
#include "values/image.h"

#include <stdbool.h>
#include <stdint.h>

/*
 * What a file tells, or fails to tell, of the way it came: facts, for others to judge.
 *
 * Units: steps are a JPEG's quantisation of luma and chroma, the coarsest of it that a flat area
 *        meets and that slow slopes (the lowest six frequencies) meet: 8 of them are one code of
 *        255. 0 where the file is no JPEG, or tells none.
 */
struct photo_traces {
    bool exif_missing; /* a camera's own file has it; screenshots and chat's copies have not */
    bool time_to_come; /* a time lay ahead of this machine's clock and was taken as missing */
    bool gain_map;     /* a map to brighten the picture lies beside it; it was not applied */
    int luma_step, luma_step_slow;
    int chroma_step, chroma_step_slow;
    char software[64]; /* the program that wrote it, in its own words; empty: none named */
};

/*
 * One decoded photo, upright: EXIF orientation has been applied. The working
 * picture is `image`; a point in stored pixels (full size, upright) is a
 * working point times `scale` (1 or more), to within one working pixel where
 * the size is no multiple of the scale.
 */
struct photo {
    char path[PHOTO_PATH_BYTES_MAX + 1]; /* as it may be shown and kept: see utf8_show */
    char hash[33]; /* 128-bit content hash in hexadecimal: two equal files are one photo */
    int stored_width_px;
    int stored_height_px;
    double scale;
    struct image image;
    struct photo_time taken; /* PHOTO_TIME_NONE if neither EXIF nor the file names one to believe */
    bool raw;                /* linear light of the sensor: no camera's curve is to be undone */
    struct photo_traces traces;
    char profile_name[128];    /* description of the embedded profile; "sRGB" when assumed */
    bool profile_assumed;      /* the file carries no profile: taken as sRGB, and said so */
    float *linear_from_sample; /* 3 x 65536: per channel, encoded sample to linear light, 0 to 1 */
};

/**
 * Read a JPEG, PNG, HEIC, TIFF or raw photo, upright, scaled down to at most `pixels_max` pixels.
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
