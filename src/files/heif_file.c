#include "heif_file.h"

#ifdef WOAD_HEIF

#include "base/memory.h"
#include "files/photo_limits.h"

#include <libheif/heif.h>

#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

#define EXIF_BYTES_MAX (1024 * 1024)
#define AUXILIARIES_MAX 16
#define EXIF_OFFSET_BYTES 4   /* before the block: how far on its TIFF header lies */
#define NATIVE_HALF_SAMPLES 3 /* a pixel's at 4:2:0, as cameras store them */
#define WIDEN 257             /* 255 becomes 65535 */

struct heif_file {
    struct heif_context *context;
    struct heif_image_handle *handle;
    struct heif_image *image;
    FILE *file;
    long long file_bytes;
    const char *path;
    int width_px;
    int height_px;
    int bits; /* a sample of the coded picture */
    bool has_alpha;
    bool see_through;
};

/* --- what libheif reads through --- */

static int64_t on_position(void *user)
{
    const struct heif_file *heif = user;

    return ftello(heif->file);
}

static int on_read(void *bytes, size_t size, void *user)
{
    const struct heif_file *heif = user;

    return fread(bytes, 1, size, heif->file) == size ? 0 : -1;
}

static int on_seek(int64_t position, void *user)
{
    const struct heif_file *heif = user;

    return fseeko(heif->file, position, SEEK_SET);
}

static enum heif_reader_grow_status on_wait(int64_t wanted, void *user)
{
    const struct heif_file *heif = user;

    return wanted <= heif->file_bytes ? heif_reader_grow_status_size_reached
                                      : heif_reader_grow_status_size_beyond_eof;
}

static const struct heif_reader reader = {1, on_position, on_read, on_seek, on_wait};

/* --- faults --- */

static enum status refuse(const struct heif_file *heif, const char *seen, struct error *error)
{
    return error_set(error, STATUS_FORMAT,
                     "%s: %s; a whole HEIC photo is wanted: copy it from the phone again, or "
                     "export it as JPEG or PNG",
                     heif->path, seen);
}

static enum status report(const struct heif_file *heif, struct heif_error fault,
                          struct error *error)
{
    char seen[300];

    if (fault.code == heif_error_Ok)
        return STATUS_OK;
    if (ferror(heif->file))
        return error_set(error, STATUS_FILE, "%s: can't be read to its end: check the disk",
                         heif->path);
    if (fault.code == heif_error_Memory_allocation_error &&
        fault.subcode != heif_suberror_Security_limit_exceeded)
        return error_set(error, STATUS_MEMORY, "%s: out of memory to decode it", heif->path);
    if (fault.subcode == heif_suberror_End_of_data)
        return refuse(heif, "is cut short", error);
    snprintf(seen, sizeof seen, "is damaged, or a kind of HEIC that can't be read (%s)",
             fault.message);
    return refuse(heif, seen, error);
}

static enum status check_decoder(const struct heif_file *heif, struct error *error)
{
    if (heif_have_decoder_for_format(heif_compression_HEVC))
        return STATUS_OK;
    return error_set(error, STATUS_FORMAT,
                     "%s: is a HEIC picture, and the libheif here has no decoder for it: install "
                     "the package libheif-plugin-libde265, or export the photo as JPEG",
                     heif->path);
}

/* --- the header --- */

static enum status copy_exif(const struct heif_file *heif, struct header *header,
                             struct error *error)
{
    heif_item_id id;
    unsigned char *block;
    size_t size, offset;

    if (!heif_image_handle_get_list_of_metadata_block_IDs(heif->handle, "Exif", &id, 1))
        return STATUS_OK;
    size = heif_image_handle_get_metadata_size(heif->handle, id);
    if (size <= EXIF_OFFSET_BYTES || size > EXIF_BYTES_MAX)
        return STATUS_OK;
    block = memory_array(size, 1, "a photo's EXIF", error);
    header->exif = memory_array(size + 6, 1, "a photo's EXIF", error);
    if (block && header->exif &&
        heif_image_handle_get_metadata(heif->handle, id, block).code == heif_error_Ok) {
        offset = (size_t)block[0] << 24 | (size_t)block[1] << 16 | (size_t)block[2] << 8 | block[3];
        offset = offset < size - EXIF_OFFSET_BYTES ? offset + EXIF_OFFSET_BYTES : size;
        memcpy(header->exif, "Exif\0\0", 6);
        memcpy(header->exif + 6, block + offset, size - offset);
        header->exif_size = 6 + size - offset;
    }
    free(block);
    return block && header->exif ? STATUS_OK : error->status;
}

/* Maps of brightness for bright screens lie beside the picture and stay there. Source of the names:
 * Apple's phones and ISO 21496-1, from memory. */
static void note_gain_map(const struct heif_file *heif, struct header *header)
{
    heif_item_id ids[AUXILIARIES_MAX];
    int count =
        heif_image_handle_get_list_of_auxiliary_image_IDs(heif->handle, 0, ids, AUXILIARIES_MAX);

    for (int i = 0; i < count; i++) {
        struct heif_image_handle *beside = NULL;
        const char *type = NULL;

        if (heif_image_handle_get_auxiliary_image_handle(heif->handle, ids[i], &beside).code)
            continue;
        if (!heif_image_handle_get_auxiliary_type(beside, &type).code && type)
            header->gain_map =
                header->gain_map || strstr(type, "hdrgainmap") || strstr(type, "iso:ts:21496");
        heif_image_handle_free_auxiliary_types(beside, &type);
        heif_image_handle_release(beside);
    }
}

static void note_transfer(const struct heif_file *heif, struct header *header)
{
    struct heif_color_profile_nclx *nclx = NULL;

    if (heif_image_handle_get_nclx_color_profile(heif->handle, &nclx).code == heif_error_Ok)
        header->transfer = (int)nclx->transfer_characteristics;
    heif_nclx_color_profile_free(nclx);
}

/* Where the file holds both an ICC profile and a code for its colours, the profile says more. */
static enum status copy_colours(const struct heif_file *heif, struct header *header,
                                struct error *error)
{
    size_t size = heif_image_handle_get_raw_color_profile_size(heif->handle);

    if (!size) {
        note_transfer(heif, header);
        return STATUS_OK;
    }
    header->icc = memory_array(size, 1, "a colour profile", error);
    if (!header->icc)
        return error->status;
    header->icc_size = size;
    return report(heif, heif_image_handle_get_raw_color_profile(heif->handle, header->icc), error);
}

static enum status read_handle(struct heif_file *heif, struct header *header, struct error *error)
{
    struct heif_error fault = heif_context_read_from_reader(heif->context, &reader, heif, NULL);

    if (fault.code == heif_error_Ok)
        fault = heif_context_get_primary_image_handle(heif->context, &heif->handle);
    if (fault.code != heif_error_Ok)
        return report(heif, fault, error);
    header->width_px = heif->width_px = heif_image_handle_get_width(heif->handle);
    header->height_px = heif->height_px = heif_image_handle_get_height(heif->handle);
    header->orientation = 1;
    heif->bits = heif_image_handle_get_luma_bits_per_pixel(heif->handle);
    heif->has_alpha = heif_image_handle_has_alpha_channel(heif->handle);
    return STATUS_OK;
}

enum status heif_file_open(FILE *file, const char *path, void **decoder, struct header *header,
                           struct error *error)
{
    enum status status;
    struct heif_file *opened = memory_array(1, sizeof *opened, "a HEIC decoder", error);

    *decoder = opened;
    if (!opened)
        return error->status;
    opened->file = file;
    opened->path = path;
    heif_init(NULL);
    opened->context = heif_context_alloc();
    if (!opened->context)
        return error_set(error, STATUS_MEMORY, "%s: out of memory to decode it", path);
    heif_context_set_maximum_image_size_limit(opened->context, PHOTO_SIDE_PX_MAX);
    if (fseeko(file, 0, SEEK_END) || (opened->file_bytes = ftello(file)) < 0)
        return error_set(error, STATUS_FILE, "%s: can't be read: check the disk", path);
    rewind(file);
    status = check_decoder(opened, error);
    if (!status)
        status = read_handle(opened, header, error);
    if (!status)
        status = copy_exif(opened, header, error);
    if (!status)
        note_gain_map(opened, header);
    return status ? status : copy_colours(opened, header, error);
}

/* --- the picture --- */

/* The coded picture and the one made of it stand side by side. */
static long long bytes_to_decode(const struct heif_file *heif, int sample_bytes)
{
    long long native = (long long)NATIVE_HALF_SAMPLES * (heif->bits > 8 ? 2 : 1);
    long long made = 2LL * (heif->has_alpha ? 4 : 3) * sample_bytes;

    return (long long)heif->width_px * heif->height_px * (native + made) / 2;
}

/* libheif does not outlive a failed allocation, so that what it will take is asked for before. */
static enum status check_memory(const struct heif_file *heif, int sample_bytes, struct error *error)
{
    long long bytes = bytes_to_decode(heif, sample_bytes);
    void *room;

    if (bytes > PHOTO_WHOLE_BYTES_MAX)
        return error_set(error, STATUS_FORMAT,
                         "%s: is a HEIC photo that takes %lld MB to decode; at most %lld MB are "
                         "used: save it smaller, or as JPEG",
                         heif->path, bytes >> 20, PHOTO_WHOLE_BYTES_MAX >> 20);
    room = memory_array((size_t)bytes, 1, "a HEIC picture", error);
    free(room);
    return room ? STATUS_OK : error->status;
}

static enum status decode_whole(struct heif_file *heif, int sample_bytes, struct error *error)
{
    struct heif_decoding_options *options = heif_decoding_options_alloc();
    enum heif_chroma chroma = heif_chroma_interleaved_RGB;
    enum status status;

    if (!options)
        return error_set(error, STATUS_MEMORY, "%s: out of memory to decode it", heif->path);
    if (sample_bytes > 1)
        chroma = heif->has_alpha ? heif_chroma_interleaved_RRGGBBAA_LE
                                 : heif_chroma_interleaved_RRGGBB_LE;
    else if (heif->has_alpha)
        chroma = heif_chroma_interleaved_RGBA;
    options->convert_hdr_to_8bit = sample_bytes == 1;
    options->strict_decoding = true;
    status = report(
        heif, heif_decode_image(heif->handle, &heif->image, heif_colorspace_RGB, chroma, options),
        error);
    heif_decoding_options_free(options);
    return status;
}

/* libheif may go on past lost data with a warning only. */
static enum status check_whole(const struct heif_file *heif, struct error *error)
{
    struct heif_error warning;

    if (heif_image_get_decoding_warnings(heif->image, 0, &warning, 1) > 0)
        return report(heif, warning, error);
    if (heif_image_get_width(heif->image, heif_channel_interleaved) != heif->width_px ||
        heif_image_get_height(heif->image, heif_channel_interleaved) != heif->height_px)
        return refuse(heif, "is damaged (its picture is not of the size it states)", error);
    return STATUS_OK;
}

static unsigned sample_at(const unsigned char *line, int index, int sample_bytes)
{
    const unsigned char *at = line + (size_t)index * (size_t)sample_bytes;

    return sample_bytes == 1 ? at[0] : at[0] | (unsigned)at[1] << 8;
}

static void take_line(struct heif_file *heif, const unsigned char *line, unsigned sample_max,
                      struct rows *rows)
{
    uint16_t *to = rows_line(rows);
    int sample_bytes = sample_max > 255 ? 2 : 1;
    int channels = heif->has_alpha ? 4 : 3;

    for (int x = 0; x < heif->width_px; x++) {
        for (int k = 0; k < 3; k++) {
            unsigned sample = sample_at(line, x * channels + k, sample_bytes);

            *to++ = (uint16_t)(sample_max == 255
                                   ? sample * WIDEN
                                   : (sample * IMAGE_SAMPLE_MAX + sample_max / 2) / sample_max);
        }
        if (channels == 4 && sample_at(line, x * channels + 3, sample_bytes) != sample_max)
            heif->see_through = true;
    }
    rows_add(rows);
}

static void take_lines(struct heif_file *heif, struct rows *rows)
{
    int bits = heif_image_get_bits_per_pixel_range(heif->image, heif_channel_interleaved);
    int stride = 0;
    const unsigned char *plane =
        heif_image_get_plane_readonly(heif->image, heif_channel_interleaved, &stride);

    for (int y = 0; y < heif->height_px && !heif->see_through; y++)
        take_line(heif, plane + (size_t)y * (size_t)stride, (1U << bits) - 1, rows);
    rows_finish(rows);
}

enum status heif_file_decode(void *decoder, struct rows *rows, struct error *error)
{
    struct heif_file *heif = decoder;
    bool fine = heif->bits > 8 && bytes_to_decode(heif, 2) <= PHOTO_WHOLE_BYTES_MAX;
    int sample_bytes = fine ? 2 : 1; /* averaging down gives a large picture its fine steps back */
    enum status status = check_memory(heif, sample_bytes, error);

    if (!status)
        status = decode_whole(heif, sample_bytes, error);
    if (!status)
        status = check_whole(heif, error);
    if (!status)
        take_lines(heif, rows);
    if (!status && heif->see_through)
        status = refuse(heif, "has see-through pixels, whose colour is not known", error);
    return status;
}

void heif_file_close(void *decoder)
{
    struct heif_file *heif = decoder;

    if (!heif)
        return;
    heif_image_release(heif->image);
    heif_image_handle_release(heif->handle);
    heif_context_free(heif->context);
    heif_deinit();
    free(heif);
}

#endif
