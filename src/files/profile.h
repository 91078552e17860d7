#ifndef WOAD_FILES_PROFILE_H
#define WOAD_FILES_PROFILE_H

#include "base/error.h"

#include <stddef.h>
#include <stdint.h>

#define PROFILE_SAMPLES 65536 /* a channel of `linear_from_sample` */

/* How a picture's samples are to be understood. A zeroed struct is no profile. */
struct profile {
    char name[128];
    float *linear_from_sample; /* 3 x PROFILE_SAMPLES: encoded sample to linear light, 0 to 1 */
    void *conversion;          /* lcms2 transform to the wide space; NULL: samples stay */
};

/**
 * Understand an embedded ICC profile.
 *
 * Owns:    the caller releases it with profile_release.
 * Returns: STATUS_OK; STATUS_FORMAT if it is damaged or not of RGB, `path`
 *          naming the picture in the message; STATUS_MEMORY.
 * Source:  ICC.1:2022, read through lcms2.
 */
MUST_USE enum status profile_from_icc(const char *path, const unsigned char *icc, size_t icc_size,
                                      struct profile *profile, struct error *error);

/**
 * sRGB, for pictures that name it or carry no profile. Source: IEC 61966-2-1.
 *
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status profile_srgb(struct profile *profile, struct error *error);

/**
 * A plain power curve: linear = encoded ^ exponent; `name` NULL gives it the exponent's.
 *
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status profile_from_gamma(const char *name, double exponent, struct profile *profile,
                                        struct error *error);

/**
 * The tone curve that pictures without an ICC profile may name by a code.
 *
 * Returns: STATUS_OK; STATUS_FORMAT, `path` naming the picture in the message,
 *          for curves of high dynamic range and those no photo has; STATUS_MEMORY.
 * Source:  ITU-T H.273, TransferCharacteristics.
 */
MUST_USE enum status profile_from_transfer(const char *path, int code, struct profile *profile,
                                           struct error *error);

/** Convert pixels of 3 samples in place, where the profile is no matrix; otherwise do nothing. */
void profile_convert(const struct profile *profile, uint16_t *samples, size_t pixels);

void profile_release(struct profile *profile);

/**
 * The sRGB profile as bytes, to tag pictures that are written.
 *
 * Owns:    the caller frees `icc`.
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status profile_srgb_icc(unsigned char **icc, size_t *icc_size, struct error *error);

#endif
