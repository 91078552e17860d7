#ifndef WOAD_FILES_PHOTO_LIMITS_H
#define WOAD_FILES_PHOTO_LIMITS_H

/* Limits on the photos that are read; each is named in the message of the error it causes. */
#define PHOTO_FILE_BYTES_MAX (256LL * 1024 * 1024)
#define PHOTO_PATH_BYTES_MAX 1000
#define PHOTO_SIDE_PX_MAX 30000
#define PHOTO_SIDE_PX_MIN 64
#define PHOTO_PIXELS_MAX 120000000LL
#define PHOTO_PROFILE_BYTES_MAX (16 * 1024 * 1024)

/* Memory for a photo that can't be decoded line by line: progressive JPEG, HEIC, raw. */
#define PHOTO_WHOLE_BYTES_MAX (384LL * 1024 * 1024)

/* The working picture holds at most this many pixels; larger photos are scaled as they are read. */
#define PHOTO_WORKING_PIXELS_MAX 4500000LL

#endif
