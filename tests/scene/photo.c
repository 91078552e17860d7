#include "photo.h"

#include "basics.h"
#include "dng.h"

#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <jpeglib.h>
#include <png.h>

/* The pixels as stored. */
struct stored {
    int width_px, height_px;
    uint16_t *values; /* 3 a pixel, 0 to `most` */
    int most;
};

/* A sensor's red and blue answer less to white than its green does. */
static const float sensor_neutral[3] = {0.52f, 1.0f, 0.66f};
static const float balanced[3] = {1.0f, 1.0f, 1.0f};

int photo_is_raw(int format)
{
    return format == FORMAT_DNG || format == FORMAT_DNG_LINEAR;
}

const char *photo_ending(int format)
{
    return photo_is_raw(format) ? ".dng" : format == FORMAT_JPEG ? ".jpg" : ".png";
}

/* Where a stored pixel comes from in the upright photo. Source: Exif 2.32, Orientation. */
static size_t upright_place(const struct raster *upright, int orientation, int column, int row)
{
    int x = column, y = row;

    if (orientation == 3) {
        x = upright->width_px - 1 - column;
        y = upright->height_px - 1 - row;
    } else if (orientation == 6) {
        x = upright->width_px - 1 - row;
        y = column;
    } else if (orientation == 8) {
        x = row;
        y = upright->height_px - 1 - column;
    }
    return (size_t)y * (size_t)upright->width_px + (size_t)x;
}

static struct stored store(const struct plan *plan, const struct raster *upright)
{
    int sideways = plan->orientation == 6 || plan->orientation == 8;
    struct stored stored = {sideways ? upright->height_px : upright->width_px,
                            sideways ? upright->width_px : upright->height_px, NULL,
                            plan->format == FORMAT_JPEG || plan->format == FORMAT_PNG8 ? 255
                                                                                       : 65535};
    const float *gain = photo_is_raw(plan->format) ? sensor_neutral : balanced;
    uint16_t *value = stored.values = allocate(3 * raster_count(upright), sizeof *stored.values);

    for (int row = 0; row < stored.height_px; row++)
        for (int column = 0; column < stored.width_px; column++) {
            size_t place = upright_place(upright, plan->orientation, column, row);

            for (int k = 0; k < 3; k++) {
                float part = upright->plane[k][place] * gain[k];

                part = part < 0.0f ? 0.0f : part > 1.0f ? 1.0f : part;
                *value++ = (uint16_t)(part * (float)stored.most + 0.5f);
            }
        }
    return stored;
}

static void set_subsampling(struct jpeg_compress_struct *jpeg, int subsampling)
{
    jpeg->comp_info[0].h_samp_factor = subsampling == 444 ? 1 : 2;
    jpeg->comp_info[0].v_samp_factor = subsampling == 420 ? 2 : 1;
}

static void write_jpeg_markers(struct jpeg_compress_struct *jpeg,
                               const struct attachments *attachments)
{
    unsigned char exif[6 + sizeof attachments->exif] = "Exif\0";

    memcpy(exif + 6, attachments->exif, attachments->exif_size);
    jpeg_write_marker(jpeg, JPEG_APP0 + 1, exif, (unsigned)(6 + attachments->exif_size));
    if (attachments->profile)
        jpeg_write_icc_profile(jpeg, attachments->profile, (unsigned)attachments->profile_size);
}

static void write_jpeg(FILE *file, const struct plan *plan, const struct stored *stored,
                       const struct attachments *attachments)
{
    struct jpeg_compress_struct jpeg;
    struct jpeg_error_mgr faults; /* the default handler prints and exits, as we would */
    size_t row_size = 3 * (size_t)stored->width_px;
    unsigned char *row = allocate(row_size, 1);

    jpeg.err = jpeg_std_error(&faults);
    jpeg_create_compress(&jpeg);
    jpeg_stdio_dest(&jpeg, file);
    jpeg.image_width = (JDIMENSION)stored->width_px;
    jpeg.image_height = (JDIMENSION)stored->height_px;
    jpeg.input_components = 3;
    jpeg.in_color_space = JCS_RGB;
    jpeg_set_defaults(&jpeg);
    jpeg_set_quality(&jpeg, plan->quality, TRUE);
    set_subsampling(&jpeg, plan->subsampling);
    jpeg.write_JFIF_header = FALSE;
    jpeg_start_compress(&jpeg, TRUE);
    write_jpeg_markers(&jpeg, attachments);
    for (int y = 0; y < stored->height_px; y++) {
        for (size_t i = 0; i < row_size; i++)
            row[i] = (unsigned char)stored->values[(size_t)y * row_size + i];
        jpeg_write_scanlines(&jpeg, &row, 1);
    }
    jpeg_finish_compress(&jpeg);
    jpeg_destroy_compress(&jpeg);
    free(row);
}

static void put_png_row(unsigned char *row, const uint16_t *values, size_t count, int most)
{
    for (size_t i = 0; i < count; i++)
        if (most > 255) {
            row[2 * i] = (unsigned char)(values[i] >> 8);
            row[2 * i + 1] = (unsigned char)(values[i] & 255);
        } else {
            row[i] = (unsigned char)values[i];
        }
}

static void write_png(FILE *file, const struct stored *stored, struct attachments *attachments)
{
    png_structp png = png_create_write_struct(PNG_LIBPNG_VER_STRING, NULL, NULL, NULL);
    png_infop info = png ? png_create_info_struct(png) : NULL;
    size_t row_size = 3 * (size_t)stored->width_px;
    unsigned char *row = allocate(row_size, 2);

    if (!info || setjmp(png_jmpbuf(png)))
        fail("the PNG could not be written");
    png_init_io(png, file);
    png_set_IHDR(png, info, (png_uint_32)stored->width_px, (png_uint_32)stored->height_px,
                 stored->most > 255 ? 16 : 8, PNG_COLOR_TYPE_RGB, PNG_INTERLACE_NONE,
                 PNG_COMPRESSION_TYPE_DEFAULT, PNG_FILTER_TYPE_DEFAULT);
    png_set_eXIf_1(png, info, (png_uint_32)attachments->exif_size, attachments->exif);
    if (attachments->profile)
        png_set_iCCP(png, info, "profile", PNG_COMPRESSION_TYPE_BASE, attachments->profile,
                     (png_uint_32)attachments->profile_size);
    png_write_info(png, info);
    for (int y = 0; y < stored->height_px; y++) {
        put_png_row(row, stored->values + (size_t)y * row_size, row_size, stored->most);
        png_write_row(png, row);
    }
    png_write_end(png, info);
    png_destroy_write_struct(&png, &info);
    free(row);
}

/* Fourteen bits above a black level, as cameras store them. */
static void write_dng(const char *path, const struct plan *plan, const struct stored *stored)
{
    char time[PHOTO_TIME_SIZE];
    struct dng dng = {.kind = plan->format == FORMAT_DNG ? DNG_MOSAIC : DNG_LINEAR,
                      .width_px = stored->width_px,
                      .height_px = stored->height_px,
                      .rgb_linear = stored->values,
                      .black = 512,
                      .white = 16383,
                      .orientation = plan->orientation,
                      .taken = plan->dated ? time : NULL,
                      .offset = plan->dated ? "+01:00" : NULL};

    for (int k = 0; k < 3; k++)
        dng.neutral[k] = sensor_neutral[k];
    photo_time(plan, time);
    if (dng_write(path, &dng))
        fail("%s can't be written", path);
}

static void write_picture(const char *path, const struct plan *plan, const struct stored *stored)
{
    struct attachments attachments;
    FILE *file = fopen(path, "wb");

    if (!file)
        fail("%s can't be written", path);
    attachments_make(&attachments, plan);
    if (plan->format == FORMAT_JPEG)
        write_jpeg(file, plan, stored, &attachments);
    else
        write_png(file, stored, &attachments);
    if (fclose(file))
        fail("%s can't be written", path);
    attachments_release(&attachments);
}

void photo_write(const char *path, const struct plan *plan, const struct raster *upright)
{
    struct stored stored = store(plan, upright);

    if (photo_is_raw(plan->format))
        write_dng(path, plan, &stored);
    else
        write_picture(path, plan, &stored);
    free(stored.values);
}
