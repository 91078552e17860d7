#ifndef WOAD_TESTS_TIFF_FIXTURE_H
#define WOAD_TESTS_TIFF_FIXTURE_H

/* TIFF pictures for tests, written by libtiff. */

#include "fixture.h"

#include <tiffio.h>

struct tiff_facts {
    int packing;          /* one of libtiff's COMPRESSION_; 0: none */
    int tile_px;          /* 0: strips */
    int lines_of_a_strip; /* 0: all of them */
    bool apart;           /* each channel by itself */
    bool big_endian;
    bool big_tiff;
    int orientation; /* 0: not told */
    int sample_format;
    int photometric; /* 0: after the fixture's colours */
    bool reduced;    /* says it is a smaller copy of another picture */
    bool larger_after;
    bool smaller_after;
    const char *original; /* EXIF's time; NULL: no EXIF */
    const char *offset;
};

static inline int fixture_tiff_channels(const struct fixture *fixture)
{
    return fixture->colours == FIXTURE_PALETTE ? 1 : fixture_channels(fixture);
}

static inline void fixture_tiff_put(unsigned char **at, unsigned sample, int bits)
{
    uint16_t wide = (uint16_t)sample;

    if (bits == 8)
        **at = (unsigned char)(sample >> 8);
    else
        memcpy(*at, &wide, 2);
    *at += bits / 8;
}

/* The part of the picture from x, y on: of all channels, or of one. */
static inline unsigned char *fixture_tiff_piece(const struct fixture *fixture, int x, int y,
                                                int width_px, int height_px, int channel)
{
    int channels = fixture_tiff_channels(fixture);
    int bits = fixture->bits ? fixture->bits : 8;
    unsigned char *piece =
        calloc((size_t)width_px * (size_t)height_px, (size_t)channels * (size_t)bits / 8);
    unsigned char *at = piece;

    assert_non_null(piece);
    for (int row = 0; row < height_px; row++)
        for (int column = 0; column < width_px; column++) {
            uint16_t sample[4];

            fixture->paint(x + column, y + row, sample);
            for (int k = channel < 0 ? 0 : channel; k < (channel < 0 ? channels : channel + 1); k++)
                fixture_tiff_put(&at, sample[k], bits);
        }
    return piece;
}

static inline void fixture_tiff_piece_write(TIFF *tiff, const struct fixture *fixture,
                                            const struct tiff_facts *facts, int x, int y,
                                            int channel)
{
    int bits = fixture->bits ? fixture->bits : 8;
    int lines = facts->lines_of_a_strip ? facts->lines_of_a_strip : fixture->height_px;
    int width_px = facts->tile_px ? facts->tile_px : fixture->width_px;
    int height_px = facts->tile_px                   ? facts->tile_px
                    : y + lines > fixture->height_px ? fixture->height_px - y
                                                     : lines;
    int channels = facts->apart ? 1 : fixture_tiff_channels(fixture);
    tmsize_t size = (tmsize_t)width_px * height_px * channels * bits / 8;
    unsigned char *piece =
        fixture_tiff_piece(fixture, x, y, width_px, height_px, facts->apart ? channel : -1);
    uint32_t left = (uint32_t)x, top = (uint32_t)y;
    uint16_t plane = (uint16_t)channel;

    if (facts->tile_px)
        assert_true(TIFFWriteEncodedTile(tiff, TIFFComputeTile(tiff, left, top, 0, plane), piece,
                                         size) == size);
    else
        assert_true(TIFFWriteEncodedStrip(tiff, TIFFComputeStrip(tiff, top, plane), piece, size) ==
                    size);
    free(piece);
}

static inline void fixture_tiff_pieces(TIFF *tiff, const struct fixture *fixture,
                                       const struct tiff_facts *facts)
{
    int lines = facts->lines_of_a_strip ? facts->lines_of_a_strip : fixture->height_px;
    int step_x = facts->tile_px ? facts->tile_px : fixture->width_px;
    int step_y = facts->tile_px ? facts->tile_px : lines;

    for (int channel = 0; channel < (facts->apart ? fixture_tiff_channels(fixture) : 1); channel++)
        for (int y = 0; y < fixture->height_px; y += step_y)
            for (int x = 0; x < fixture->width_px; x += step_x)
                fixture_tiff_piece_write(tiff, fixture, facts, x, y, channel);
}

static inline int fixture_tiff_photometric(const struct fixture *fixture,
                                           const struct tiff_facts *facts)
{
    if (facts->photometric)
        return facts->photometric;
    return fixture->colours == FIXTURE_GREY   ? PHOTOMETRIC_MINISBLACK
           : fixture->colours == FIXTURE_CMYK ? PHOTOMETRIC_SEPARATED
                                              : PHOTOMETRIC_RGB;
}

static inline void fixture_tiff_tags(TIFF *tiff, const struct fixture *fixture,
                                     const struct tiff_facts *facts)
{
    uint16_t extra = EXTRASAMPLE_UNASSALPHA;

    TIFFSetField(tiff, TIFFTAG_IMAGEWIDTH, (uint32_t)fixture->width_px);
    TIFFSetField(tiff, TIFFTAG_IMAGELENGTH, (uint32_t)fixture->height_px);
    TIFFSetField(tiff, TIFFTAG_BITSPERSAMPLE, fixture->bits ? fixture->bits : 8);
    TIFFSetField(tiff, TIFFTAG_SAMPLESPERPIXEL, fixture_tiff_channels(fixture));
    TIFFSetField(tiff, TIFFTAG_COMPRESSION, facts->packing ? facts->packing : COMPRESSION_NONE);
    TIFFSetField(tiff, TIFFTAG_PHOTOMETRIC, fixture_tiff_photometric(fixture, facts));
    TIFFSetField(tiff, TIFFTAG_PLANARCONFIG,
                 facts->apart ? PLANARCONFIG_SEPARATE : PLANARCONFIG_CONTIG);
    if (facts->packing == COMPRESSION_JPEG) {
        TIFFSetField(tiff, TIFFTAG_JPEGCOLORMODE, JPEGCOLORMODE_RGB);
        TIFFSetField(tiff, TIFFTAG_JPEGQUALITY, 100);
        TIFFSetField(tiff, TIFFTAG_YCBCRSUBSAMPLING, 1, 1);
    }
    if (facts->tile_px) {
        TIFFSetField(tiff, TIFFTAG_TILEWIDTH, (uint32_t)facts->tile_px);
        TIFFSetField(tiff, TIFFTAG_TILELENGTH, (uint32_t)facts->tile_px);
    } else {
        TIFFSetField(tiff, TIFFTAG_ROWSPERSTRIP,
                     facts->lines_of_a_strip ? facts->lines_of_a_strip : fixture->height_px);
    }
    if (facts->orientation)
        TIFFSetField(tiff, TIFFTAG_ORIENTATION, facts->orientation);
    if (facts->sample_format)
        TIFFSetField(tiff, TIFFTAG_SAMPLEFORMAT, facts->sample_format);
    if (facts->reduced)
        TIFFSetField(tiff, TIFFTAG_SUBFILETYPE, FILETYPE_REDUCEDIMAGE);
    if (fixture->colours == FIXTURE_RGBA)
        TIFFSetField(tiff, TIFFTAG_EXTRASAMPLES, 1, &extra);
    if (fixture->icc)
        TIFFSetField(tiff, TIFFTAG_ICCPROFILE, (uint32_t)fixture->icc_size, fixture->icc);
}

/* Ahead of the picture, which then names the place. */
static inline uint64_t fixture_tiff_time(TIFF *tiff, const struct tiff_facts *facts)
{
    uint64_t offset = 0;

    assert_int_equal(TIFFCreateEXIFDirectory(tiff), 0);
    TIFFSetField(tiff, EXIFTAG_DATETIMEORIGINAL, facts->original);
    if (facts->offset)
        TIFFSetField(tiff, EXIFTAG_OFFSETTIMEORIGINAL, facts->offset);
    assert_true(TIFFWriteCustomDirectory(tiff, &offset));
    TIFFFreeDirectory(tiff);
    assert_int_equal(TIFFCreateDirectory(tiff), 0);
    return offset;
}

/* A plain picture of another size behind the first. */
static inline void fixture_tiff_other(TIFF *tiff, const struct fixture *fixture, int width_px)
{
    struct fixture other = *fixture;
    struct tiff_facts none = {0};

    other.width_px = width_px;
    fixture_tiff_tags(tiff, &other, &none);
    fixture_tiff_pieces(tiff, &other, &none);
    assert_true(TIFFWriteDirectory(tiff));
}

static inline void fixture_tiff(const char *path, const struct fixture *fixture,
                                const struct tiff_facts *facts)
{
    char mode[8] = "w";
    uint64_t exif = 0;
    TIFF *tiff;

    strcat(mode, facts->big_endian ? "b" : "l");
    strcat(mode, facts->big_tiff ? "8" : "4");
    tiff = TIFFOpen(path, mode);
    assert_non_null(tiff);
    if (facts->original)
        exif = fixture_tiff_time(tiff, facts);
    fixture_tiff_tags(tiff, fixture, facts);
    if (exif)
        TIFFSetField(tiff, TIFFTAG_EXIFIFD, exif);
    fixture_tiff_pieces(tiff, fixture, facts);
    assert_true(TIFFWriteDirectory(tiff));
    if (facts->larger_after)
        fixture_tiff_other(tiff, fixture, fixture->width_px + 16);
    if (facts->smaller_after)
        fixture_tiff_other(tiff, fixture, fixture->width_px / 2);
    TIFFClose(tiff);
}

#endif
