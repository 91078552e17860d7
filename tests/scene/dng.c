#include "dng.h"

#include <stdio.h>
#include <stdlib.h>

#ifdef WOAD_TIFF

#include <tiffio.h>

#define FULL 65535u
#define LINEAR_RAW 34892 /* a photometric interpretation for which libtiff has no word yet */

static void describe_picture(TIFF *tiff, const struct dng *dng)
{
    TIFFSetField(tiff, TIFFTAG_SUBFILETYPE, 0);
    TIFFSetField(tiff, TIFFTAG_IMAGEWIDTH, (uint32_t)dng->width_px);
    TIFFSetField(tiff, TIFFTAG_IMAGELENGTH, (uint32_t)dng->height_px);
    TIFFSetField(tiff, TIFFTAG_BITSPERSAMPLE, 16);
    TIFFSetField(tiff, TIFFTAG_COMPRESSION, COMPRESSION_NONE);
    TIFFSetField(tiff, TIFFTAG_PLANARCONFIG, PLANARCONFIG_CONTIG);
    TIFFSetField(tiff, TIFFTAG_ROWSPERSTRIP, (uint32_t)dng->height_px);
    TIFFSetField(tiff, TIFFTAG_ORIENTATION, dng->orientation ? dng->orientation : 1);
    TIFFSetField(tiff, TIFFTAG_DNGVERSION, "\1\4\0\0");
    TIFFSetField(tiff, TIFFTAG_DNGBACKWARDVERSION, "\1\1\0\0");
    TIFFSetField(tiff, TIFFTAG_MAKE, "Rendered");
    TIFFSetField(tiff, TIFFTAG_MODEL, "Rendered camera");
    TIFFSetField(tiff, TIFFTAG_UNIQUECAMERAMODEL, "Rendered camera");
}

static void describe_samples(TIFF *tiff, const struct dng *dng)
{
    static const uint16_t side[2] = {2, 2};

    if (dng->kind == DNG_LINEAR) {
        TIFFSetField(tiff, TIFFTAG_SAMPLESPERPIXEL, 3);
        TIFFSetField(tiff, TIFFTAG_PHOTOMETRIC, LINEAR_RAW);
        return;
    }
    TIFFSetField(tiff, TIFFTAG_SAMPLESPERPIXEL, 1);
    TIFFSetField(tiff, TIFFTAG_PHOTOMETRIC, PHOTOMETRIC_CFA);
    TIFFSetField(tiff, TIFFTAG_CFAREPEATPATTERNDIM, side);
    TIFFSetField(tiff, TIFFTAG_CFAPATTERN, 4, "\0\1\1\2"); /* red, green, green, blue */
}

static void describe_colours(TIFF *tiff, const struct dng *dng)
{
    static const double plain[3][3] = {{1, 0, 0}, {0, 1, 0}, {0, 0, 1}};
    const double(*matrix)[3] = dng->matrix ? dng->matrix : plain;
    uint32_t white[3];
    float black[3], numbers[9];
    uint16_t channels = dng->kind == DNG_LINEAR ? 3 : 1;

    for (int k = 0; k < 3; k++) {
        black[k] = (float)dng->black;
        white[k] = dng->white ? dng->white : FULL;
        for (int i = 0; i < 3; i++)
            numbers[3 * k + i] = (float)matrix[k][i];
    }
    TIFFSetField(tiff, TIFFTAG_BLACKLEVEL, channels, black);
    TIFFSetField(tiff, TIFFTAG_WHITELEVEL, channels, white);
    TIFFSetField(tiff, TIFFTAG_COLORMATRIX1, 9, numbers);
    TIFFSetField(tiff, TIFFTAG_CALIBRATIONILLUMINANT1, 21); /* D65 */
    if (dng->neutral[1] > 0)
        TIFFSetField(tiff, TIFFTAG_ASSHOTNEUTRAL, 3, dng->neutral);
}

static int write_lines(TIFF *tiff, const struct dng *dng)
{
    size_t samples = dng->kind == DNG_LINEAR ? 3 : 1;
    size_t width = (size_t)dng->width_px;
    uint32_t span = (dng->white ? dng->white : FULL) - dng->black;
    uint16_t *line = malloc(width * samples * sizeof *line);
    int failed = !line;

    for (int y = 0; !failed && y < dng->height_px; y++) {
        const uint16_t *from = dng->rgb_linear + (size_t)y * width * 3;

        for (size_t i = 0; i < width * samples; i++) {
            /* the channel at a place of the mosaic is how many of its coordinates are odd */
            size_t at = samples == 3 ? i : 3 * i + (i & 1) + (size_t)(y & 1);

            line[i] = (uint16_t)(dng->black + (from[at] * span + FULL / 2) / FULL);
        }
        failed = TIFFWriteScanline(tiff, line, (uint32_t)y, 0) < 0;
    }
    free(line);
    return failed;
}

/* The time stands in a directory of its own, to which the first one points. */
static int write_time(TIFF *tiff, const struct dng *dng)
{
    uint64_t offset = 0;

    if (!dng->taken)
        return 0;
    if (TIFFCreateEXIFDirectory(tiff))
        return 1;
    TIFFSetField(tiff, EXIFTAG_DATETIMEORIGINAL, dng->taken);
    if (dng->offset)
        TIFFSetField(tiff, EXIFTAG_OFFSETTIMEORIGINAL, dng->offset);
    if (!TIFFWriteCustomDirectory(tiff, &offset) || !TIFFSetDirectory(tiff, 0))
        return 1;
    TIFFSetField(tiff, TIFFTAG_EXIFIFD, offset);
    return !TIFFRewriteDirectory(tiff);
}

int dng_write(const char *path, const struct dng *dng)
{
    TIFF *tiff = TIFFOpen(path, "w");
    int failed = !tiff;

    if (!failed) {
        describe_picture(tiff, dng);
        describe_samples(tiff, dng);
        describe_colours(tiff, dng);
        failed = write_lines(tiff, dng) || !TIFFWriteDirectory(tiff) || write_time(tiff, dng);
        TIFFClose(tiff);
    }
    return failed;
}

#else

int dng_write(const char *path, const struct dng *dng)
{
    (void)dng;
    fprintf(stderr, "%s: written only where libtiff is there to build with\n", path);
    return 1;
}

#endif
