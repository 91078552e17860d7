#ifndef WOAD_TESTS_FIXTURE_H
#define WOAD_TESTS_FIXTURE_H

/*
 * Pictures for tests, written by libjpeg and libpng themselves into a folder
 * that is removed again. A test names its picture's pixels by a function.
 */

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <dirent.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <jpeglib.h>
#include <png.h>

#include "files/mark.h"

enum fixture_colours { FIXTURE_RGB, FIXTURE_RGBA, FIXTURE_GREY, FIXTURE_CMYK, FIXTURE_PALETTE };

struct fixture {
    int width_px;
    int height_px;
    void (*paint)(int x, int y, uint16_t sample[4]); /* 16 bits a sample */
    enum fixture_colours colours;
    int bits;    /* PNG: 8 (also for 0) or 16 */
    int quality; /* JPEG; 0 means 100 */
    bool progressive;
    bool many_scans; /* JPEG: progressive, every coefficient in a scan of its own */
    bool interlaced;
    bool exif_last; /* PNG: EXIF after the picture data */
    const unsigned char *exif;
    size_t exif_size;
    const char *marker; /* JPEG: a marker of application 2 that begins with this word */
    const unsigned char *icc;
    size_t icc_size;
    double gamma; /* PNG gAMA chunk; 0: none */
    int transfer; /* PNG cICP chunk: the curve's code of ITU-T H.273; 0: none */
    bool srgb;    /* PNG sRGB chunk */
};

/* --- the folder --- */

static char fixture_folder[900];

/* Beside the test program, so that it lies in the build folder. */
static inline int fixture_setup(void **state)
{
    ssize_t length = readlink("/proc/self/exe", fixture_folder, sizeof fixture_folder - 20);

    (void)state;
    if (length <= 0)
        return -1;
    memcpy(fixture_folder + length, ".XXXXXX", 8);
    return mkdtemp(fixture_folder) ? 0 : -1;
}

static inline int fixture_teardown(void **state)
{
    DIR *folder = opendir(fixture_folder);
    struct dirent *entry;

    (void)state;
    while (folder && (entry = readdir(folder)))
        if (entry->d_name[0] != '.')
            unlinkat(dirfd(folder), entry->d_name, 0);
    if (folder)
        closedir(folder);
    return rmdir(fixture_folder);
}

/* A path in the folder; valid until the eighth call after it. */
static inline const char *fixture_path(const char *name)
{
    static char paths[8][1024];
    static int next;

    next = (next + 1) % 8;
    snprintf(paths[next], sizeof paths[next], "%s/%s", fixture_folder, name);
    return paths[next];
}

static inline void fixture_bytes(const char *path, const void *bytes, size_t size)
{
    FILE *file = fopen(path, "wb");

    assert_non_null(file);
    assert_int_equal(fwrite(bytes, 1, size, file), size);
    assert_int_equal(fclose(file), 0);
}

static inline unsigned char *fixture_load(const char *path, size_t *size)
{
    FILE *file = fopen(path, "rb");
    unsigned char *bytes;

    assert_non_null(file);
    assert_int_equal(fseek(file, 0, SEEK_END), 0);
    *size = (size_t)ftell(file);
    rewind(file);
    bytes = malloc(*size + 1);
    assert_non_null(bytes);
    assert_int_equal(fread(bytes, 1, *size, file), *size);
    fclose(file);
    return bytes;
}

/* Copy a file, leaving out its end. */
static inline void fixture_cut(const char *from, const char *to, double fraction)
{
    size_t size;
    unsigned char *bytes = fixture_load(from, &size);

    fixture_bytes(to, bytes, (size_t)((double)size * fraction));
    free(bytes);
}

/* What woad made it refuses as a photo; without its mark the picture can be looked at. */
static inline void fixture_unmark(const char *path)
{
    size_t size, length = strlen(MARK_TEXT), at = 0;
    unsigned char *bytes = fixture_load(path, &size);

    while (at + length < size && memcmp(bytes + at, MARK_TEXT, length) != 0)
        at++;
    assert_true(at + length < size);
    memset(bytes + at, 'x', length);
    fixture_bytes(path, bytes, size);
    free(bytes);
}

/* --- EXIF, put together by hand after CIPA DC-008 --- */

struct fixture_exif {
    int orientation;
    const char *original; /* "2026:03:14 15:09:26" */
    const char *offset;   /* "+01:00" */
    const char *interoperability;
    const char *software; /* at most 15 bytes */
};

static inline unsigned char *fixture_put(unsigned char *at, unsigned long value, int bytes)
{
    for (int i = 0; i < bytes; i++)
        *at++ = (unsigned char)(value >> (8 * i));
    return at;
}

static inline unsigned char *fixture_tag(unsigned char *at, unsigned tag, unsigned type,
                                         unsigned long count, unsigned long value)
{
    at = fixture_put(at, tag, 2);
    at = fixture_put(at, type, 2);
    at = fixture_put(at, count, 4);
    return fixture_put(at, value, 4);
}

#define FIXTURE_EXIF_BYTES 256

/* Little-endian; three directories at fixed places: 8, 64 and 200; texts from 128 on. */
static inline size_t fixture_exif_build(const struct fixture_exif *exif, unsigned char *bytes)
{
    unsigned char *tiff = bytes + 6;
    unsigned char *at;

    memset(bytes, 0, FIXTURE_EXIF_BYTES);
    memcpy(bytes, "Exif\0\0II*\0\x08\0\0\0", 14);
    at = fixture_put(tiff + 8, 3, 2);
    at = fixture_tag(at, 0x0112, 3, 1, (unsigned)exif->orientation);
    at = fixture_tag(at, exif->software ? 0x0131 : 0x010E, 2, 16, 176);
    fixture_tag(at, 0x8769, 4, 1, 64);
    at = fixture_put(tiff + 64, 3, 2);
    at = fixture_tag(at, exif->original ? 0x9003 : 0x9004, 2, 20, 128);
    at = fixture_tag(at, exif->offset ? 0x9011 : 0x9012, 2, 7, 160);
    fixture_tag(at, 0xA005, 4, 1, 200);
    if (exif->original)
        snprintf((char *)tiff + 128, 20, "%s", exif->original);
    if (exif->offset)
        snprintf((char *)tiff + 160, 7, "%s", exif->offset);
    if (exif->software)
        snprintf((char *)tiff + 176, 16, "%s", exif->software);
    at = fixture_put(tiff + 200, 1, 2);
    at = fixture_tag(at, 0x0001, 2, 4, 0);
    snprintf((char *)at - 4, 4, "%s", exif->interoperability ? exif->interoperability : "R98");
    return FIXTURE_EXIF_BYTES;
}

/* --- writing --- */

static inline int fixture_channels(const struct fixture *fixture)
{
    switch (fixture->colours) {
    case FIXTURE_GREY:
    case FIXTURE_PALETTE:
        return 1;
    case FIXTURE_RGB:
        return 3;
    default:
        return 4;
    }
}

static inline void fixture_jpeg_lines(j_compress_ptr encoder, const struct fixture *fixture)
{
    int channels = fixture_channels(fixture);
    JSAMPLE *line = malloc((size_t)fixture->width_px * (size_t)channels);

    assert_non_null(line);
    for (int y = 0; y < fixture->height_px; y++) {
        for (int x = 0; x < fixture->width_px; x++) {
            uint16_t sample[4];

            fixture->paint(x, y, sample);
            for (int k = 0; k < channels; k++)
                line[x * channels + k] = (JSAMPLE)((sample[k] + 128) / 257);
        }
        jpeg_write_scanlines(encoder, &line, 1);
    }
    free(line);
}

#define FIXTURE_SCANS (1 + 3 * 63)

static inline void fixture_scans(j_compress_ptr encoder, jpeg_scan_info *scans)
{
    scans[0] = (jpeg_scan_info){3, {0, 1, 2}, 0, 0, 0, 0};
    for (int i = 1; i < FIXTURE_SCANS; i++)
        scans[i] = (jpeg_scan_info){1, {(i - 1) / 63}, 1 + (i - 1) % 63, 1 + (i - 1) % 63, 0, 0};
    encoder->scan_info = scans;
    encoder->num_scans = FIXTURE_SCANS;
}

/* Colours at full resolution. */
static inline void fixture_jpeg(const char *path, const struct fixture *fixture)
{
    struct jpeg_compress_struct encoder;
    struct jpeg_error_mgr manager;
    jpeg_scan_info scans[FIXTURE_SCANS];
    FILE *file = fopen(path, "wb");

    assert_non_null(file);
    encoder.err = jpeg_std_error(&manager);
    jpeg_create_compress(&encoder);
    jpeg_stdio_dest(&encoder, file);
    encoder.image_width = (JDIMENSION)fixture->width_px;
    encoder.image_height = (JDIMENSION)fixture->height_px;
    encoder.input_components = fixture_channels(fixture);
    encoder.in_color_space = fixture->colours == FIXTURE_GREY   ? JCS_GRAYSCALE
                             : fixture->colours == FIXTURE_CMYK ? JCS_CMYK
                                                                : JCS_RGB;
    jpeg_set_defaults(&encoder);
    jpeg_set_quality(&encoder, fixture->quality ? fixture->quality : 100, TRUE);
    for (int k = 0; k < encoder.num_components; k++)
        encoder.comp_info[k].h_samp_factor = encoder.comp_info[k].v_samp_factor = 1;
    if (fixture->progressive)
        jpeg_simple_progression(&encoder);
    if (fixture->many_scans)
        fixture_scans(&encoder, scans);
    jpeg_start_compress(&encoder, TRUE);
    if (fixture->exif)
        jpeg_write_marker(&encoder, JPEG_APP0 + 1, fixture->exif, (unsigned)fixture->exif_size);
    if (fixture->marker)
        jpeg_write_marker(&encoder, JPEG_APP0 + 2, (const JOCTET *)fixture->marker,
                          (unsigned)strlen(fixture->marker) + 1);
    if (fixture->icc)
        jpeg_write_icc_profile(&encoder, fixture->icc, (unsigned)fixture->icc_size);
    fixture_jpeg_lines(&encoder, fixture);
    jpeg_finish_compress(&encoder);
    jpeg_destroy_compress(&encoder);
    fclose(file);
}

static inline int fixture_png_colours(const struct fixture *fixture)
{
    switch (fixture->colours) {
    case FIXTURE_GREY:
        return PNG_COLOR_TYPE_GRAY;
    case FIXTURE_RGBA:
        return PNG_COLOR_TYPE_RGB_ALPHA;
    case FIXTURE_PALETTE:
        return PNG_COLOR_TYPE_PALETTE;
    default:
        return PNG_COLOR_TYPE_RGB;
    }
}

static inline void fixture_png_facts(png_structp png, png_infop info, const struct fixture *fixture)
{
    png_color palette[256];

    for (int i = 0; i < 256; i++)
        palette[i] = (png_color){(png_byte)i, (png_byte)(255 - i), (png_byte)(i ^ 85)};
    if (fixture->colours == FIXTURE_PALETTE)
        png_set_PLTE(png, info, palette, 256);
    if (fixture->gamma > 0)
        png_set_gAMA(png, info, fixture->gamma);
    if (fixture->srgb)
        png_set_sRGB(png, info, PNG_sRGB_INTENT_PERCEPTUAL);
    if (fixture->icc)
        png_set_iCCP(png, info, "test", 0, fixture->icc, (png_uint_32)fixture->icc_size);
}

static inline png_bytep fixture_png_lines(const struct fixture *fixture, size_t *line_bytes)
{
    int channels = fixture_channels(fixture);
    bool wide = fixture->bits == 16;
    png_bytep lines, at;

    *line_bytes = (size_t)fixture->width_px * (size_t)channels * (wide ? 2 : 1);
    at = lines = malloc(*line_bytes * (size_t)fixture->height_px);
    assert_non_null(lines);
    for (int y = 0; y < fixture->height_px; y++)
        for (int x = 0; x < fixture->width_px; x++) {
            uint16_t sample[4];

            fixture->paint(x, y, sample);
            for (int k = 0; k < channels; k++) {
                *at++ = (png_byte)(sample[k] >> 8);
                if (wide)
                    *at++ = (png_byte)(sample[k] & 255);
            }
        }
    return lines;
}

/* EXIF as a chunk by hand, so that it can stand on either side of the picture data. */
static inline void fixture_png_exif(png_structp png, const struct fixture *fixture)
{
    if (fixture->exif)
        png_write_chunk(png, (png_const_bytep) "eXIf", fixture->exif + 6, fixture->exif_size - 6);
}

static inline void fixture_png(const char *path, const struct fixture *fixture)
{
    FILE *file = fopen(path, "wb");
    png_structp png = png_create_write_struct(PNG_LIBPNG_VER_STRING, NULL, NULL, NULL);
    png_infop info = png_create_info_struct(png);
    size_t line_bytes;
    png_bytep lines = fixture_png_lines(fixture, &line_bytes);
    png_bytepp line = malloc((size_t)fixture->height_px * sizeof *line);

    assert_non_null(file);
    assert_non_null(line);
    for (int y = 0; y < fixture->height_px; y++)
        line[y] = lines + (size_t)y * line_bytes;
    png_init_io(png, file);
    png_set_user_limits(png, PNG_UINT_31_MAX, PNG_UINT_31_MAX);
    png_set_IHDR(png, info, (png_uint_32)fixture->width_px, (png_uint_32)fixture->height_px,
                 fixture->bits == 16 ? 16 : 8, fixture_png_colours(fixture),
                 fixture->interlaced ? PNG_INTERLACE_ADAM7 : PNG_INTERLACE_NONE,
                 PNG_COMPRESSION_TYPE_DEFAULT, PNG_FILTER_TYPE_DEFAULT);
    fixture_png_facts(png, info, fixture);
    png_write_info(png, info);
    if (fixture->transfer)
        png_write_chunk(png, (png_const_bytep) "cICP",
                        (const png_byte[]){1, (png_byte)fixture->transfer, 0, 1}, 4);
    if (!fixture->exif_last)
        fixture_png_exif(png, fixture);
    png_write_image(png, line);
    if (fixture->exif_last)
        fixture_png_exif(png, fixture);
    png_write_end(png, NULL);
    png_destroy_write_struct(&png, &info);
    free(line);
    free(lines);
    fclose(file);
}

#endif
