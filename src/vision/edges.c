#include "edges.h"

#include "base/memory.h"

#include <stdlib.h>
#include <string.h>

#define RIM 255

static int step(const uint16_t *a, const uint16_t *b)
{
    int largest = 0;

    for (int k = 0; k < IMAGE_CHANNELS; k++) {
        int difference = abs((int)a[k] - (int)b[k]);

        largest = difference > largest ? difference : largest;
    }
    return largest;
}

static void edges_of_row(const struct image *image, int y, uint8_t *strength)
{
    const size_t stride = (size_t)image->width_px * IMAGE_CHANNELS;
    const uint16_t *row = image_at(image, 0, y);

    strength[0] = strength[image->width_px - 1] = RIM;
    for (int x = 1; x + 1 < image->width_px; x++) {
        const uint16_t *here = row + (size_t)x * IMAGE_CHANNELS;
        int across = step(here - IMAGE_CHANNELS, here + IMAGE_CHANNELS);
        int down = step(here - stride, here + stride);

        strength[x] = (uint8_t)((across > down ? across : down) >> 8);
    }
}

enum status edges_find(const struct image *image, struct edges *edges, struct error *error)
{
    size_t width = (size_t)image->width_px;
    size_t height = (size_t)image->height_px;

    edges->strength = memory_array(width * height, 1, "an edge map", error);
    if (!edges->strength)
        return error->status;
    edges->width_px = image->width_px;
    edges->height_px = image->height_px;
    memset(edges->strength, RIM, width);
    memset(edges->strength + (height - 1) * width, RIM, width);
    for (int y = 1; y + 1 < image->height_px; y++)
        edges_of_row(image, y, edges->strength + (size_t)y * width);
    return STATUS_OK;
}

void edges_release(struct edges *edges)
{
    free(edges->strength);
    memset(edges, 0, sizeof *edges);
}
