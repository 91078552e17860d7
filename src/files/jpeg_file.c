#include "jpeg_file.h"

#include "jpeg_source.h"

#include "base/memory.h"
#include "files/mark.h"
#include "files/photo_limits.h"

#include <jpeglib.h>

#include <jerror.h>

#include <math.h>
#include <setjmp.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

#define EXIF_MARKER (JPEG_APP0 + 1)
#define ICC_MARKER (JPEG_APP0 + 2)
#define MARKER_BYTES_MAX 0xFFFF
#define LINES 8
#define BLOCK 32
#define SCANS_MAX 100 /* each scan of a progressive picture costs a pass over all of it */
#define QUALITY 95
#define WIDEN 257 /* 255 becomes 65535 */

struct jpeg_file {
    struct jpeg_decompress_struct decoder;
    struct jpeg_error_mgr manager;
    struct jpeg_progress_mgr progress;
    jmp_buf escape;
    FILE *file;
    const char *path;
    int fault; /* libjpeg's code of the first warning that means lost data */
    bool too_many_scans;
    bool icc_damaged;
    struct header *header;
    struct rows *rows;
};

/* libjpeg calls this on a fault it can't go on from; it must not return. */
static void on_error(j_common_ptr common)
{
    struct jpeg_file *jpeg = common->client_data;

    longjmp(jpeg->escape, 1);
}

/* Warnings are libjpeg's word for data it will fill with grey; odd bytes between markers or an
 * unknown version are no loss. */
static void on_message(j_common_ptr common, int level)
{
    struct jpeg_file *jpeg = common->client_data;
    int code = common->err->msg_code;

    if (level >= 0)
        return;
    if (code == JWRN_BOGUS_ICC)
        jpeg->icc_damaged = true;
    else if (code != JWRN_EXTRANEOUS_DATA && code != JWRN_JFIF_MAJOR && code != JWRN_ADOBE_XFORM &&
             !jpeg->fault)
        jpeg->fault = code;
}

static void on_progress(j_common_ptr common)
{
    struct jpeg_file *jpeg = common->client_data;

    if (jpeg->decoder.input_scan_number > SCANS_MAX) {
        jpeg->too_many_scans = true;
        longjmp(jpeg->escape, 1);
    }
}

static enum status refuse(const struct jpeg_file *jpeg, const char *seen, struct error *error)
{
    return error_set(error, STATUS_FORMAT,
                     "%s: %s; a whole colour JPEG photo is wanted: copy it from the camera again, "
                     "or export it anew as JPEG or PNG",
                     jpeg->path, seen);
}

static bool is_cut_short(int code)
{
    return code == JWRN_JPEG_EOF || code == JERR_INPUT_EOF || code == JERR_INPUT_EMPTY;
}

static enum status report(struct jpeg_file *jpeg, int code, struct error *error)
{
    char reason[JMSG_LENGTH_MAX];
    char seen[JMSG_LENGTH_MAX + 100];
    j_common_ptr common = (j_common_ptr)&jpeg->decoder;

    if (code == JERR_OUT_OF_MEMORY)
        return error_set(error, STATUS_MEMORY, "%s: out of memory to decode it", jpeg->path);
    if (ferror(jpeg->file))
        return error_set(error, STATUS_FILE, "%s: can't be read to its end: check the disk",
                         jpeg->path);
    if (jpeg->too_many_scans)
        return refuse(jpeg, "is a JPEG with more than 100 passes over its picture", error);
    if (is_cut_short(code)) {
        snprintf(seen, sizeof seen, "is cut short: its data ends after line %u of %u",
                 jpeg->decoder.output_scanline, jpeg->decoder.output_height);
        return refuse(jpeg, jpeg->decoder.output_height ? seen : "is cut short in its header",
                      error);
    }
    jpeg->manager.msg_code = code;
    jpeg->manager.format_message(common, reason);
    snprintf(seen, sizeof seen, "is damaged, or a kind of JPEG that can't be read (%s)", reason);
    return refuse(jpeg, seen, error);
}

/* The one place that setjmp returns to: a step runs under it, and its faults end here. */
static enum status guard(struct jpeg_file *jpeg, void (*step)(struct jpeg_file *),
                         struct error *error)
{
    if (setjmp(jpeg->escape))
        return report(jpeg, jpeg->fault ? jpeg->fault : jpeg->manager.msg_code, error);
    step(jpeg);
    return jpeg->fault ? report(jpeg, jpeg->fault, error) : STATUS_OK;
}

/* The coarsest step of a component's lowest frequencies; those of a flat area and slow slopes. */
static struct header_step step_of(const jpeg_component_info *component,
                                  JQUANT_TBL *const tables[NUM_QUANT_TBLS])
{
    static const int lowest[] = {0, 1, 2, DCTSIZE, DCTSIZE + 1, 2 * DCTSIZE};
    int number = component->quant_tbl_no;
    const JQUANT_TBL *table = number >= 0 && number < NUM_QUANT_TBLS ? tables[number] : NULL;
    struct header_step step = {0};

    if (!table)
        return step;
    step.flat = table->quantval[0];
    for (size_t i = 0; i < sizeof lowest / sizeof *lowest; i++)
        if (table->quantval[lowest[i]] > step.slow)
            step.slow = table->quantval[lowest[i]];
    return step;
}

static void note_steps(j_decompress_ptr decoder, struct header *header)
{
    if (decoder->jpeg_color_space != JCS_YCbCr || decoder->num_components != 3)
        return;
    header->luma = step_of(&decoder->comp_info[0], decoder->quant_tbl_ptrs);
    header->chroma = step_of(&decoder->comp_info[1], decoder->quant_tbl_ptrs);
}

static void read_header(struct jpeg_file *jpeg)
{
    j_decompress_ptr decoder = &jpeg->decoder;

    jpeg_create_decompress(decoder);
    jpeg_source_begin(decoder, jpeg->file);
    jpeg_save_markers(decoder, EXIF_MARKER, MARKER_BYTES_MAX);
    jpeg_save_markers(decoder, ICC_MARKER, MARKER_BYTES_MAX);
    jpeg_read_header(decoder, TRUE);
    jpeg->header->width_px = (int)decoder->image_width;
    jpeg->header->height_px = (int)decoder->image_height;
    note_steps(decoder, jpeg->header);
}

static void read_icc(struct jpeg_file *jpeg)
{
    JOCTET *icc = NULL;
    unsigned size = 0;

    if (jpeg_read_icc_profile(&jpeg->decoder, &icc, &size)) {
        jpeg->header->icc = icc;
        jpeg->header->icc_size = size;
    }
}

static enum status copy_exif(struct jpeg_file *jpeg, struct error *error)
{
    struct header *header = jpeg->header;

    for (jpeg_saved_marker_ptr at = jpeg->decoder.marker_list; at; at = at->next) {
        if (at->marker != EXIF_MARKER || at->data_length < 6 || memcmp(at->data, "Exif\0\0", 6))
            continue;
        header->exif = memory_array(at->data_length, 1, "a photo's EXIF", error);
        if (!header->exif)
            return error->status;
        memcpy(header->exif, at->data, at->data_length);
        header->exif_size = at->data_length;
        return STATUS_OK;
    }
    return STATUS_OK;
}

/* Maps of brightness for bright screens, as Android's phones and ISO 21496-1 name them. */
static const char *const gain_maps[] = {"http://ns.adobe.com/hdr-gain-map/",
                                        "urn:iso:std:iso:ts:21496:-1", "hdrgainmap"};

static bool marker_names(jpeg_saved_marker_ptr marker, const char *word)
{
    size_t length = strlen(word);

    for (size_t i = 0; i + length <= marker->data_length; i++)
        if (!memcmp(marker->data + i, word, length))
            return true;
    return false;
}

static bool has_gain_map(const struct jpeg_file *jpeg)
{
    for (jpeg_saved_marker_ptr at = jpeg->decoder.marker_list; at; at = at->next)
        for (size_t i = 0; i < sizeof gain_maps / sizeof *gain_maps; i++)
            if (marker_names(at, gain_maps[i]))
                return true;
    return false;
}

static enum status check_colours(const struct jpeg_file *jpeg, struct error *error)
{
    switch (jpeg->decoder.jpeg_color_space) {
    case JCS_YCbCr:
    case JCS_RGB:
        return STATUS_OK;
    case JCS_GRAYSCALE:
        return refuse(jpeg, "is a greyscale picture, without colours", error);
    case JCS_CMYK:
    case JCS_YCCK:
        return refuse(jpeg, "is a CMYK picture, made for printing", error);
    default:
        return refuse(jpeg, "has colour channels of an unknown kind", error);
    }
}

enum status jpeg_file_open(FILE *file, const char *path, void **decoder, struct header *header,
                           struct error *error)
{
    enum status status;
    struct jpeg_file *opened = memory_array(1, sizeof *opened, "a JPEG decoder", error);

    *decoder = opened;
    if (!opened)
        return error->status;
    opened->file = file;
    opened->path = path;
    opened->header = header;
    opened->decoder.err = jpeg_std_error(&opened->manager);
    opened->decoder.client_data = opened;
    opened->manager.error_exit = on_error;
    opened->manager.emit_message = on_message;
    opened->progress.progress_monitor = on_progress;
    status = guard(opened, read_header, error);
    if (!status)
        status = check_colours(opened, error);
    if (!status)
        status = copy_exif(opened, error);
    header->gain_map = !status && has_gain_map(opened);
    if (!status)
        status = guard(opened, read_icc, error);
    if (!status && opened->icc_damaged)
        status = refuse(opened, "has a damaged colour profile", error);
    return status;
}

static int scaled(int size_px, int eighths)
{
    return (int)(((long long)size_px * eighths + 7) / 8);
}

void jpeg_file_scale(struct header *header, long long pixels_max)
{
    int eighths = 8;

    while (eighths > 1 && pixels_max > 0 &&
           (long long)scaled(header->width_px, eighths) * scaled(header->height_px, eighths) >
               pixels_max)
        eighths--;
    header_hand_over(header, scaled(header->width_px, eighths), scaled(header->height_px, eighths),
                     8.0 / eighths);
}

/* A progressive picture is held whole, as coefficients of 2 bytes, before its first line. */
static enum status check_memory(struct jpeg_file *jpeg, struct error *error)
{
    long long bytes = 0;

    if (!jpeg_has_multiple_scans(&jpeg->decoder))
        return STATUS_OK;
    for (int k = 0; k < jpeg->decoder.num_components; k++) {
        const jpeg_component_info *component = &jpeg->decoder.comp_info[k];

        bytes += (long long)component->width_in_blocks * component->height_in_blocks *
                 (long long)sizeof(JBLOCK);
    }
    if (bytes <= PHOTO_WHOLE_BYTES_MAX)
        return STATUS_OK;
    return error_set(error, STATUS_FORMAT,
                     "%s: is a progressive JPEG that takes %lld MB to decode; at most %lld MB are "
                     "used: save it as a baseline (not progressive) JPEG, or smaller",
                     jpeg->path, bytes >> 20, PHOTO_WHOLE_BYTES_MAX >> 20);
}

/* In blocks of a fixed size, which the compiler makes vector instructions of even at -O2. */
static void widen(const JSAMPLE *restrict from, uint16_t *restrict to, size_t samples)
{
    size_t i = 0;

    for (; i + BLOCK <= samples; i += BLOCK)
        for (size_t j = 0; j < BLOCK; j++)
            to[i + j] = (uint16_t)(from[i + j] * WIDEN);
    for (; i < samples; i++)
        to[i] = (uint16_t)(from[i] * WIDEN);
}

static void decode_lines(struct jpeg_file *jpeg)
{
    j_decompress_ptr decoder = &jpeg->decoder;
    JSAMPARRAY lines;

    decoder->progress = &jpeg->progress;
    decoder->out_color_space = JCS_RGB;
    decoder->scale_num = (unsigned)lround(8 / jpeg->header->scale);
    decoder->scale_denom = 8;
    jpeg_start_decompress(decoder);
    lines = decoder->mem->alloc_sarray((j_common_ptr)decoder, JPOOL_IMAGE,
                                       decoder->output_width * IMAGE_CHANNELS, LINES);
    while (decoder->output_scanline < decoder->output_height && !jpeg->fault) {
        JDIMENSION count = jpeg_read_scanlines(decoder, lines, LINES);

        for (JDIMENSION i = 0; i < count; i++) {
            widen(lines[i], rows_line(jpeg->rows), (size_t)decoder->output_width * IMAGE_CHANNELS);
            rows_add(jpeg->rows);
        }
    }
    rows_finish(jpeg->rows);
}

enum status jpeg_file_decode(void *decoder, struct rows *rows, struct error *error)
{
    struct jpeg_file *jpeg = decoder;
    enum status status = check_memory(jpeg, error);

    jpeg->rows = rows;
    return status ? status : guard(jpeg, decode_lines, error);
}

void jpeg_file_close(void *decoder)
{
    struct jpeg_file *jpeg = decoder;

    if (jpeg)
        jpeg_destroy_decompress(&jpeg->decoder);
    free(jpeg);
}

struct writer {
    struct jpeg_compress_struct encoder;
    struct jpeg_error_mgr manager;
    jmp_buf escape;
    const struct image *image;
    const unsigned char *icc;
    unsigned icc_size;
};

static void on_write_error(j_common_ptr common)
{
    struct writer *writer = common->client_data;

    longjmp(writer->escape, 1);
}

static void choose_settings(j_compress_ptr encoder, const struct image *image)
{
    encoder->image_width = (JDIMENSION)image->width_px;
    encoder->image_height = (JDIMENSION)image->height_px;
    encoder->input_components = IMAGE_CHANNELS;
    encoder->in_color_space = JCS_RGB;
    jpeg_set_defaults(encoder);
    jpeg_set_quality(encoder, QUALITY, TRUE);
    for (int k = 0; k < encoder->num_components; k++)
        encoder->comp_info[k].h_samp_factor = encoder->comp_info[k].v_samp_factor = 1;
}

static void encode(struct writer *writer, FILE *file)
{
    j_compress_ptr encoder = &writer->encoder;
    const struct image *image = writer->image;
    JSAMPARRAY line;

    jpeg_create_compress(encoder);
    jpeg_stdio_dest(encoder, file);
    choose_settings(encoder, image);
    jpeg_start_compress(encoder, TRUE);
    jpeg_write_marker(encoder, JPEG_COM, (const JOCTET *)MARK_TEXT, sizeof MARK_TEXT - 1);
    jpeg_write_icc_profile(encoder, writer->icc, writer->icc_size);
    line = encoder->mem->alloc_sarray((j_common_ptr)encoder, JPOOL_IMAGE,
                                      (JDIMENSION)image->width_px * IMAGE_CHANNELS, 1);
    for (int y = 0; y < image->height_px; y++) {
        const uint16_t *from = image_at(image, 0, y);

        for (int i = 0; i < image->width_px * IMAGE_CHANNELS; i++)
            line[0][i] = (JSAMPLE)((from[i] + WIDEN / 2) / WIDEN);
        jpeg_write_scanlines(encoder, line, 1);
    }
    jpeg_finish_compress(encoder);
}

/* Returns whether all was written; its own function, so that setjmp guards no locals. */
static bool guarded_encode(struct writer *writer, FILE *file)
{
    if (setjmp(writer->escape))
        return false;
    encode(writer, file);
    return true;
}

enum status jpeg_file_write(FILE *file, const char *path, const struct image *image,
                            const unsigned char *icc, size_t icc_size, struct error *error)
{
    struct writer writer = {.image = image, .icc = icc, .icc_size = (unsigned)icc_size};
    char reason[JMSG_LENGTH_MAX] = "";
    bool written;

    writer.encoder.err = jpeg_std_error(&writer.manager);
    writer.encoder.client_data = &writer;
    writer.manager.error_exit = on_write_error;
    written = guarded_encode(&writer, file);
    if (!written)
        writer.manager.format_message((j_common_ptr)&writer.encoder, reason);
    jpeg_destroy_compress(&writer.encoder);
    if (!written && writer.manager.msg_code == JERR_OUT_OF_MEMORY)
        return error_set(error, STATUS_MEMORY, "%s: out of memory to write it", path);
    return written ? STATUS_OK
                   : error_set(error, STATUS_FILE,
                               "%s: can't be written as JPEG (%s): check the disk's free space",
                               path, reason);
}
