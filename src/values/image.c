#include "values/image.h"

#include "base/memory.h"

#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

enum status image_create(int width_px, int height_px, struct image *image, struct error *error)
{
    size_t pixels = (size_t)width_px * (size_t)height_px;

    image->samples =
        memory_array(pixels, IMAGE_CHANNELS * sizeof *image->samples, "a picture", error);
    if (!image->samples)
        return error->status;
    image->width_px = width_px;
    image->height_px = height_px;
    return STATUS_OK;
}

static void shrink_row(const struct image *image, int factor, int y, struct image *smaller,
                       uint32_t *sums)
{
    size_t samples = (size_t)smaller->width_px * IMAGE_CHANNELS;
    uint32_t pixels = (uint32_t)(factor * factor);
    uint16_t *out = image_at(smaller, 0, y);

    memset(sums, 0, samples * sizeof *sums);
    for (int dy = 0; dy < factor; dy++) {
        const uint16_t *in = image_at(image, 0, y * factor + dy);

        for (int x = 0; x < smaller->width_px; x++)
            for (int dx = 0; dx < factor; dx++, in += IMAGE_CHANNELS)
                for (int k = 0; k < IMAGE_CHANNELS; k++)
                    sums[x * IMAGE_CHANNELS + k] += in[k];
    }
    for (size_t i = 0; i < samples; i++)
        out[i] = (uint16_t)((sums[i] + pixels / 2) / pixels);
}

/* The usual factor, several times as fast. */
static void halve_row(const struct image *image, int y, struct image *smaller)
{
    const uint16_t *restrict upper = image_at(image, 0, 2 * y);
    const uint16_t *restrict lower = image_at(image, 0, 2 * y + 1);
    uint16_t *restrict out = image_at(smaller, 0, y);

    for (int x = 0; x < smaller->width_px; x++) {
        for (int k = 0; k < IMAGE_CHANNELS; k++)
            out[k] = (uint16_t)((upper[k] + upper[k + IMAGE_CHANNELS] + lower[k] +
                                 lower[k + IMAGE_CHANNELS] + 2) /
                                4);
        upper += 2 * IMAGE_CHANNELS;
        lower += 2 * IMAGE_CHANNELS;
        out += IMAGE_CHANNELS;
    }
}

enum status image_shrink(const struct image *image, int factor, struct image *smaller,
                         struct error *error)
{
    int width_px = image->width_px / factor > 0 ? image->width_px / factor : 1;
    int height_px = image->height_px / factor > 0 ? image->height_px / factor : 1;
    bool halves = factor == 2 && image->width_px > 1 && image->height_px > 1;
    uint32_t *sums = memory_array((size_t)width_px * IMAGE_CHANNELS, sizeof *sums, "a row", error);
    enum status status = sums ? image_create(width_px, height_px, smaller, error) : error->status;

    for (int y = 0; !status && y < height_px; y++)
        if (halves)
            halve_row(image, y, smaller);
        else
            shrink_row(image, factor, y, smaller, sums);
    free(sums);
    return status;
}

void image_release(struct image *image)
{
    free(image->samples);
    memset(image, 0, sizeof *image);
}
