#ifndef WOAD_FILES_ROWS_H
#define WOAD_FILES_ROWS_H

#include "base/error.h"
#include "profile.h"
#include "values/image.h"

#include <stddef.h>
#include <stdint.h>

/* Lines are stored some at a time: turned by a quarter, each makes a column, and storing one
 * column at a time would touch every line of memory once a pixel. */
#define ROWS_BATCH 16

/*
 * The last step of decoding: lines come in from the top of the stored picture,
 * are averaged down, converted if the profile asks for it, and stored upright.
 */
struct rows {
    struct image *image;           /* upright, written */
    const struct profile *profile; /* borrowed */
    int orientation;               /* 1 to 8, as in EXIF */
    int factor;                    /* a square of this side of incoming pixels makes one */
    int incoming_px;               /* pixels of an incoming line */
    int width_px, height_px;       /* averaged down, not yet turned */
    int waiting;                   /* lines in `batch` */
    int stored;                    /* lines in `image` */
    int summed;                    /* lines in `sums` */
    uint16_t *batch;
    uint16_t *line; /* the incoming line, where it is to be averaged */
    uint32_t *sums;
};

/**
 * Get ready to take the lines of a picture, and allocate the upright picture.
 *
 * Units:   `width_px`, `height_px` of the incoming picture; `pixels_max` 0
 *          means no averaging.
 * Owns:    the caller releases `rows` with rows_release and the image itself;
 *          `profile` must outlive `rows`.
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
struct rows_incoming {
    int width_px;
    int height_px;
    int orientation;
    long long pixels_max;
};
MUST_USE enum status rows_begin(struct rows *rows, const struct rows_incoming *incoming,
                                const struct profile *profile, struct image *image,
                                struct error *error);

/** Where the next line is to be written: `incoming_px` pixels of 3 samples. */
uint16_t *rows_line(struct rows *rows);

/** Take the line just written; lines past the last are ignored. */
void rows_add(struct rows *rows);

/** Store what still waits. */
void rows_finish(struct rows *rows);

void rows_release(struct rows *rows);

#endif
