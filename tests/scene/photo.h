#ifndef SCENE_PHOTO_H
#define SCENE_PHOTO_H

#include "plan.h"
#include "raster.h"

/*
 * Writing the finished photo: JPEG or PNG, with EXIF and perhaps a profile,
 * the pixels stored as the EXIF orientation asks.
 */

/** What goes into the file beside the pixels. */
struct attachments {
    unsigned char exif[512]; /* the block with its TIFF header, no "Exif" mark */
    size_t exif_size;
    unsigned char *profile; /* ICC; NULL for none */
    size_t profile_size;
};

/** Whether a format holds what the sensor saw, so that nothing is developed. */
int photo_is_raw(int format);

enum { PHOTO_TIME_SIZE = 32 };

/** When the photo was taken, as EXIF writes it. */
void photo_time(const struct plan *plan, char time[PHOTO_TIME_SIZE]);

/** The file name ending for a format, with its dot. */
const char *photo_ending(int format);

void photo_write(const char *path, const struct plan *plan, const struct raster *upright);

/** Fill in EXIF and profile. */
void attachments_make(struct attachments *attachments, const struct plan *plan);
void attachments_release(struct attachments *attachments);

#endif
