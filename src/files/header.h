#ifndef WOAD_FILES_HEADER_H
#define WOAD_FILES_HEADER_H

#include <stdbool.h>
#include <stddef.h>

/* How coarsely a JPEG rounds one of its components: the step of a flat area's coefficient, 8 of
 * which are one code of 255, and the coarsest of it and the five lowest frequencies. */
struct header_step {
    int flat;
    int slow;
};

/*
 * What a picture file says of itself before its rows are decoded. The arrays
 * are NULL where the file has none.
 */
struct header {
    int width_px; /* as stored, before the picture is turned upright */
    int height_px;
    int decoded_width_px; /* as the decoder hands it over, smaller where it can do so cheaply */
    int decoded_height_px;
    double scale;              /* stored pixels a side of one that is handed over */
    int square_px;             /* raw: the least side of a square that holds every colour */
    bool raw;                  /* the sensor's own light, not a camera's picture */
    struct header_step luma;   /* 0 where it is no JPEG */
    struct header_step chroma; /* 0 where it is no JPEG */
    bool gain_map;             /* beside the picture lies a map to brighten it; it is not applied */
    unsigned char *exif;       /* from "Exif\0\0" on */
    size_t exif_size;
    unsigned char *icc;
    size_t icc_size;
    bool srgb;           /* named as sRGB without a profile */
    double gamma;        /* exponent from encoded to linear, named without a profile; 0: none */
    int transfer;        /* code of the curve from light to sample (ITU-T H.273); 0: none */
    bool transfer_first; /* it counts before any profile */
    int orientation;     /* 1 to 8: counts instead of EXIF's, which would say it twice; 0: none */
    char original[24];   /* EXIF's time and offset, where they stand outside of `exif` */
    char offset[8];
};

/** Note the size at which the decoder is to hand the picture over. */
void header_hand_over(struct header *header, int width_px, int height_px, double scale);

void header_release(struct header *header);

#endif
