/*
 * Save a rendered photo as a phone would: HEIC, stored on its side, its turn told twice (by the
 * file's structure and by EXIF), with a thumbnail, a time and a place.
 */

#include "files/photo.h"

#include <libheif/heif.h>

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define QUALITY 85
#define THUMBNAIL_PX 160
#define SRGB_CURVE 13 /* ITU-T H.273 */

/* Big-endian EXIF 2.32: orientation 6, original time and offset, and where it was taken. */
static const unsigned char exif[] =
    "Exif\0\0MM\0\x2a\0\0\0\x08"
    "\0\x03"                             /* at 8: the picture's own directory */
    "\x01\x12\0\x03\0\0\0\x01\0\x06\0\0" /* Orientation */
    "\x87\x69\0\x04\0\0\0\x01\0\0\0\x32" /* EXIF's directory, at 50 */
    "\x88\x25\0\x04\0\0\0\x01\0\0\0\x6c" /* GPS's directory, at 108 */
    "\0\0\0\0"
    "\0\x02"                             /* at 50 */
    "\x90\x03\0\x02\0\0\0\x14\0\0\0\x50" /* DateTimeOriginal, at 80 */
    "\x90\x11\0\x02\0\0\0\x07\0\0\0\x64" /* OffsetTimeOriginal, at 100 */
    "\0\0\0\0"
    "2026:05:03 10:20:00\0"            /* at 80 */
    "+01:00\0\0"                       /* at 100 */
    "\0\x02"                           /* at 108 */
    "\0\x01\0\x02\0\0\0\x02N\0\0\0"    /* GPSLatitudeRef */
    "\0\x1c\0\x07\0\0\0\x18\0\0\0\x8a" /* GPSAreaInformation, at 138 */
    "\0\0\0\0"
    "ASCII\0\0\0Thistlewick Hall"; /* at 138 */

/* The stored lines are the seen columns from the right, so that a quarter turn clockwise sets them
 * upright. */
static void turn_pixels(const struct image *image, unsigned char *plane, int stride)
{
    for (int y = 0; y < image->width_px; y++)
        for (int x = 0; x < image->height_px; x++)
            for (int k = 0; k < IMAGE_CHANNELS; k++)
                plane[(long)y * stride + x * 3 + k] =
                    (unsigned char)((image_at(image, image->width_px - 1 - y, x)[k] + 128) / 257);
}

static struct heif_image *turned_picture(const struct image *image)
{
    struct heif_color_profile_nclx *nclx = heif_nclx_color_profile_alloc();
    struct heif_image *picture = NULL;
    unsigned char *plane;
    int stride;

    heif_image_create(image->height_px, image->width_px, heif_colorspace_RGB,
                      heif_chroma_interleaved_RGB, &picture);
    heif_image_add_plane(picture, heif_channel_interleaved, image->height_px, image->width_px, 8);
    plane = heif_image_get_plane(picture, heif_channel_interleaved, &stride);
    turn_pixels(image, plane, stride);
    heif_nclx_color_profile_set_transfer_characteristics(nclx, SRGB_CURVE);
    heif_image_set_nclx_color_profile(picture, nclx);
    heif_nclx_color_profile_free(nclx);
    return picture;
}

static struct heif_error encode(struct heif_context *context, const struct heif_image *picture)
{
    struct heif_encoding_options *options = heif_encoding_options_alloc();
    struct heif_image_handle *handle = NULL, *thumbnail = NULL;
    struct heif_encoder *encoder = NULL;
    struct heif_error fault =
        heif_context_get_encoder_for_format(context, heif_compression_HEVC, &encoder);

    options->image_orientation = heif_orientation_rotate_90_cw;
    options->macOS_compatibility_workaround_no_nclx_profile = 0;
    if (fault.code == heif_error_Ok) {
        heif_encoder_set_lossy_quality(encoder, QUALITY);
        fault = heif_context_encode_image(context, picture, encoder, options, &handle);
    }
    if (fault.code == heif_error_Ok)
        fault = heif_context_encode_thumbnail(context, picture, handle, encoder, options,
                                              THUMBNAIL_PX, &thumbnail);
    if (fault.code == heif_error_Ok)
        fault = heif_context_add_exif_metadata(context, handle, exif, (int)sizeof exif - 1);
    heif_image_handle_release(thumbnail);
    heif_image_handle_release(handle);
    heif_encoder_release(encoder);
    heif_encoding_options_free(options);
    return fault;
}

int main(int argc, char **argv)
{
    struct photo photo;
    struct error error;
    struct heif_context *context;
    struct heif_image *picture;
    struct heif_error fault;

    if (argc != 3) {
        fputs("usage: heic PHOTO OUT.heic\n", stderr);
        return 1;
    }
    if (photo_read(argv[1], 0, &photo, &error)) {
        fprintf(stderr, "%s\n", error.message);
        return 1;
    }
    heif_init(NULL);
    context = heif_context_alloc();
    picture = turned_picture(&photo.image);
    fault = encode(context, picture);
    if (fault.code == heif_error_Ok)
        fault = heif_context_write_to_file(context, argv[2]);
    if (fault.code != heif_error_Ok)
        fprintf(stderr, "%s\n", fault.message);
    heif_image_release(picture);
    heif_context_free(context);
    heif_deinit();
    photo_release(&photo);
    return fault.code != heif_error_Ok;
}
