#ifndef WOAD_FILES_HEADER_H
#define WOAD_FILES_HEADER_H

#include <stdbool.h>
#include <stddef.h>

/*
 * What a picture file says of itself before its rows are decoded. The arrays
 * are NULL where the file has none.
 */
struct header {
    int width_px; /* as stored, before the picture is turned upright */
    int height_px;
    unsigned char *exif; /* from "Exif\0\0" on */
    size_t exif_size;
    unsigned char *icc;
    size_t icc_size;
    bool srgb;         /* named as sRGB without a profile */
    double gamma;      /* exponent from encoded to linear, named without a profile; 0: none */
    int transfer;      /* code of the curve from light to sample (ITU-T H.273); 0: none */
    int orientation;   /* 1 to 8: counts instead of EXIF's, which would say it twice; 0: none */
    char original[24]; /* EXIF's time and offset, where they stand outside of `exif` */
    char offset[8];
};

void header_release(struct header *header);

#endif
