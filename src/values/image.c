#include "values/image.h"

#include "base/memory.h"

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

void image_release(struct image *image)
{
    free(image->samples);
    memset(image, 0, sizeof *image);
}
