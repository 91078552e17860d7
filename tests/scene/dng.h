#ifndef SCENE_DNG_H
#define SCENE_DNG_H

#include <stdint.h>

/*
 * Raw photos, as cameras and phones store them in DNG: a mosaic of one colour
 * a pixel (red top left, blue bottom right of each 2 x 2), or all three.
 */

enum dng_kind { DNG_MOSAIC, DNG_LINEAR };

/*
 * Shape: `rgb_linear` holds height_px lines of width_px pixels of 3 samples: what the sensor
 * answers, not white balanced; 0 is no light, 65535 where it is full.
 */
struct dng {
    enum dng_kind kind;
    int width_px, height_px;
    const uint16_t *rgb_linear;
    unsigned black, white;     /* what is stored for 0 and for 65535; both 0 means 0 and 65535 */
    float neutral[3];          /* what the camera took for white, the largest 1; all 0: not said */
    const double (*matrix)[3]; /* from XYZ to camera; NULL: none worth the name */
    int orientation;           /* 1 to 8, as in EXIF; 0 means 1 */
    const char *taken;         /* "2026:03:14 15:09:26"; NULL: not said */
    const char *offset;        /* "+01:00"; NULL: not said */
};

/**
 * Write a raw photo.
 *
 * Returns: 0; otherwise it could not be written, and libtiff said why.
 * Source:  Adobe Digital Negative 1.4, written through libtiff.
 */
int dng_write(const char *path, const struct dng *dng);

#endif
