#include "tiff.h"

#ifdef WOAD_TIFF

#include "base/memory.h"
#include "files/photo_limits.h"

#include <tiffio.h>

#include <limits.h>
#include <string.h>

#define WIDEN 257 /* 255 becomes 65535 */

static enum status refuse_whole(const struct tiff_file *tiff, long long bytes, struct error *error)
{
    return error_set(error, STATUS_FORMAT,
                     "%s: is a TIFF that takes %lld MB at a time to decode; at most %lld MB are "
                     "used: save it in strips or small tiles, or smaller",
                     tiff->path, bytes >> 20, PHOTO_WHOLE_BYTES_MAX >> 20);
}

static unsigned sample_at(const struct tiff_file *tiff, const unsigned char *pixel, int channel)
{
    uint16_t sample;

    if (tiff->sample_bytes == 1)
        return pixel[channel] * (unsigned)WIDEN;
    memcpy(&sample, pixel + 2 * channel, sizeof sample);
    return sample;
}

static void take_line(struct tiff_file *tiff, const unsigned char *pixel, struct rows *rows)
{
    uint16_t *to = rows_line(rows);

    for (int x = 0; x < tiff->width_px; x++) {
        for (int k = 0; k < IMAGE_CHANNELS; k++)
            *to++ = (uint16_t)sample_at(tiff, pixel, k);
        if (tiff->has_alpha && sample_at(tiff, pixel, IMAGE_CHANNELS) != IMAGE_SAMPLE_MAX)
            tiff->see_through = true;
        pixel += tiff->channels * tiff->sample_bytes;
    }
    rows_add(rows);
}

static size_t line_bytes(const struct tiff_file *tiff)
{
    return (size_t)tiff->width_px * (size_t)tiff->channels * (size_t)tiff->sample_bytes;
}

static enum status decode_lines(struct tiff_file *tiff, struct rows *rows, struct error *error)
{
    size_t bytes = (size_t)TIFFScanlineSize64(tiff->tiff);

    if (bytes < line_bytes(tiff))
        return tiff_report(tiff, error);
    if (bytes > PHOTO_WHOLE_BYTES_MAX)
        return refuse_whole(tiff, (long long)bytes, error);
    tiff->lines = memory_array(bytes, 1, "a TIFF picture", error);
    if (!tiff->lines)
        return error->status;
    for (int y = 0; y < tiff->height_px && !tiff->see_through; y++) {
        if (TIFFReadScanline(tiff->tiff, tiff->lines, (uint32_t)y, 0) < 0 || tiff->reason[0])
            return tiff_report(tiff, error);
        take_line(tiff, tiff->lines, rows);
    }
    return STATUS_OK;
}

static long long piece_bytes(const struct tiff_file *tiff)
{
    uint64_t bytes = tiff->tiled ? TIFFTileSize64(tiff->tiff) : TIFFStripSize64(tiff->tiff);

    return bytes > LLONG_MAX ? LLONG_MAX : (long long)bytes;
}

/* Memory for a row of pieces; a piece may be larger than the picture. */
static enum status allocate_pieces(struct tiff_file *tiff, struct error *error)
{
    long long bytes = piece_bytes(tiff);
    long long wanted = (long long)tiff->piece_width_px * tiff->piece_height_px *
                       tiff->sample_bytes * (tiff->apart ? 1 : tiff->channels);
    long long lines =
        (long long)line_bytes(tiff) * tiff_at_most(tiff->piece_height_px, tiff->height_px);

    if (bytes <= 0 || wanted <= 0 || bytes < wanted)
        return tiff_report(tiff, error);
    if (bytes > PHOTO_WHOLE_BYTES_MAX || bytes + lines > PHOTO_WHOLE_BYTES_MAX)
        return refuse_whole(tiff, bytes, error);
    tiff->piece = memory_array((size_t)bytes, 1, "a TIFF picture", error);
    if (!tiff->piece)
        return error->status;
    tiff->lines = memory_array((size_t)lines, 1, "a TIFF picture", error);
    return tiff->lines ? STATUS_OK : error->status;
}

static bool read_piece(const struct tiff_file *tiff, int x, int y, int channel)
{
    uint32_t left = (uint32_t)x, top = (uint32_t)y;
    uint16_t plane = (uint16_t)channel;

    if (tiff->tiled)
        return TIFFReadEncodedTile(tiff->tiff, TIFFComputeTile(tiff->tiff, left, top, 0, plane),
                                   tiff->piece, -1) >= 0;
    return TIFFReadEncodedStrip(tiff->tiff, TIFFComputeStrip(tiff->tiff, top, plane), tiff->piece,
                                -1) >= 0;
}

/* Put a piece into its place in the lines: all channels, or one of them. */
static void place_piece(const struct tiff_file *tiff, int x, int height_px, int channel)
{
    size_t sample = (size_t)tiff->sample_bytes;
    size_t pixel = sample * (size_t)tiff->channels;
    size_t in_piece = tiff->apart ? sample : pixel;
    int width_px = tiff_at_most(tiff->piece_width_px, tiff->width_px - x);

    for (int row = 0; row < height_px; row++) {
        const unsigned char *from =
            tiff->piece + (size_t)row * (size_t)tiff->piece_width_px * in_piece;
        unsigned char *to = tiff->lines + (size_t)row * line_bytes(tiff) + (size_t)x * pixel +
                            (size_t)channel * sample;

        if (!tiff->apart)
            memcpy(to, from, (size_t)width_px * pixel);
        else
            for (int i = 0; i < width_px; i++)
                memcpy(to + (size_t)i * pixel, from + (size_t)i * sample, sample);
    }
}

static bool read_row_of_pieces(struct tiff_file *tiff, int y, int height_px)
{
    int channels = tiff->apart ? tiff->channels : 1;

    for (int x = 0; x < tiff->width_px; x += tiff_at_most(tiff->piece_width_px, tiff->width_px - x))
        for (int channel = 0; channel < channels; channel++) {
            if (!read_piece(tiff, x, y, channel) || tiff->reason[0])
                return false;
            place_piece(tiff, x, height_px, channel);
        }
    return true;
}

static enum status decode_pieces(struct tiff_file *tiff, struct rows *rows, struct error *error)
{
    enum status status = allocate_pieces(tiff, error);
    int y = 0;

    while (!status && y < tiff->height_px && !tiff->see_through) {
        int height_px = tiff_at_most(tiff->piece_height_px, tiff->height_px - y);

        if (!read_row_of_pieces(tiff, y, height_px))
            status = tiff_report(tiff, error);
        for (int row = 0; !status && row < height_px; row++)
            take_line(tiff, tiff->lines + (size_t)row * line_bytes(tiff), rows);
        y += height_px;
    }
    return status;
}

enum status tiff_file_decode(void *decoder, struct rows *rows, struct error *error)
{
    struct tiff_file *tiff = decoder;
    enum status status = tiff->tiled || tiff->apart ? decode_pieces(tiff, rows, error)
                                                    : decode_lines(tiff, rows, error);

    if (!status)
        rows_finish(rows);
    if (!status && tiff->see_through)
        status = tiff_refuse(tiff, "has see-through pixels, whose colour is not known", error);
    return status;
}

#endif
