#ifndef WOAD_TESTS_HEIF_FIXTURE_H
#define WOAD_TESTS_HEIF_FIXTURE_H

/* HEIC pictures for tests, written by libheif, where it has an encoder. */

#include "fixture.h"

#include <libheif/heif.h>

struct heif_facts {
    int turn;         /* as EXIF's orientation, but told by the file's own irot and imir */
    int bits;         /* 8 (also for 0), 10 or 12 */
    int transfer;     /* code of ITU-T H.273; 0: none */
    const char *full; /* NULL: colours at half resolution, as cameras do; "444": at full */
};

static inline void fixture_heif_sample(unsigned char *at, unsigned sample, int bits)
{
    sample >>= 16 - bits;
    at[0] = (unsigned char)sample;
    if (bits > 8)
        at[1] = (unsigned char)(sample >> 8);
}

static inline struct heif_image *fixture_heif_image(const struct fixture *fixture,
                                                    const struct heif_facts *facts)
{
    bool alpha = fixture->colours == FIXTURE_RGBA;
    int bits = facts->bits ? facts->bits : 8;
    int pixel_bytes = (alpha ? 4 : 3) * (bits > 8 ? 2 : 1);
    struct heif_image *image = NULL;
    unsigned char *plane;
    int stride;

    heif_image_create(
        fixture->width_px, fixture->height_px, heif_colorspace_RGB,
        bits > 8 ? (alpha ? heif_chroma_interleaved_RRGGBBAA_LE : heif_chroma_interleaved_RRGGBB_LE)
                 : (alpha ? heif_chroma_interleaved_RGBA : heif_chroma_interleaved_RGB),
        &image);
    heif_image_add_plane(image, heif_channel_interleaved, fixture->width_px, fixture->height_px,
                         bits);
    plane = heif_image_get_plane(image, heif_channel_interleaved, &stride);
    for (int y = 0; y < fixture->height_px; y++)
        for (int x = 0; x < fixture->width_px; x++) {
            uint16_t sample[4];

            fixture->paint(x, y, sample);
            for (int k = 0; k < (alpha ? 4 : 3); k++)
                fixture_heif_sample(plane + y * stride + x * pixel_bytes + k * (bits > 8 ? 2 : 1),
                                    sample[k], bits);
        }
    return image;
}

static inline void fixture_heif_colours(struct heif_image *image, const struct fixture *fixture,
                                        const struct heif_facts *facts)
{
    struct heif_color_profile_nclx *nclx = heif_nclx_color_profile_alloc();

    if (fixture->icc)
        heif_image_set_raw_color_profile(image, "prof", fixture->icc, fixture->icc_size);
    if (facts->transfer) {
        heif_nclx_color_profile_set_transfer_characteristics(nclx, (uint16_t)facts->transfer);
        heif_image_set_nclx_color_profile(image, nclx);
    }
    heif_nclx_color_profile_free(nclx);
}

static inline void fixture_heif_encode(struct heif_context *context, struct heif_image *image,
                                       const struct fixture *fixture,
                                       const struct heif_facts *facts)
{
    struct heif_encoding_options *options = heif_encoding_options_alloc();
    struct heif_image_handle *handle = NULL;
    struct heif_encoder *encoder = NULL;
    struct heif_error fault;

    heif_context_get_encoder_for_format(context, heif_compression_HEVC, &encoder);
    heif_encoder_set_lossy_quality(encoder, 98);
    if (facts->full)
        heif_encoder_set_parameter_string(encoder, "chroma", facts->full);
    options->image_orientation = (enum heif_orientation)(facts->turn ? facts->turn : 1);
    options->macOS_compatibility_workaround_no_nclx_profile = !facts->transfer;
    fault = heif_context_encode_image(context, image, encoder, options, &handle);
    if (fault.code != heif_error_Ok)
        fail_msg("%s", fault.message);
    if (fixture->exif)
        heif_context_add_exif_metadata(context, handle, fixture->exif, (int)fixture->exif_size);
    heif_image_handle_release(handle);
    heif_encoder_release(encoder);
    heif_encoding_options_free(options);
}

/* libheif forgets its encoders when the last user is done: the tests are one, all along. */
static inline int fixture_heif_setup(void **state)
{
    heif_init(NULL);
    return fixture_setup(state);
}

static inline int fixture_heif_teardown(void **state)
{
    heif_deinit();
    return fixture_teardown(state);
}

/* Skips the test where libheif has no encoder, and says so. */
static inline void fixture_heif(const char *path, const struct fixture *fixture,
                                const struct heif_facts *facts)
{
    struct heif_context *context;
    struct heif_image *image;

    if (!heif_have_encoder_for_format(heif_compression_HEVC)) {
        print_message("skipped: libheif has no encoder for HEIC here (libheif-plugin-x265)\n");
        skip();
    }
    context = heif_context_alloc();
    image = fixture_heif_image(fixture, facts);
    fixture_heif_colours(image, fixture, facts);
    fixture_heif_encode(context, image, fixture, facts);
    assert_int_equal(heif_context_write_to_file(context, path).code, heif_error_Ok);
    heif_image_release(image);
    heif_context_free(context);
}

#endif
