#include "canvas_pixel.h"

#include <math.h>

/* One sample between pixels, by bilinear interpolation; x and y in pixel centres. */
static double sample_between(const struct image *image, double x, double y, int channel)
{
    double inside_x = fmin(fmax(x, 0), image->width_px - 1);
    double inside_y = fmin(fmax(y, 0), image->height_px - 1);
    int left = (int)inside_x, top = (int)inside_y;
    int right = left + 1 < image->width_px ? left + 1 : left;
    int bottom = top + 1 < image->height_px ? top + 1 : top;
    double across = inside_x - left, down = inside_y - top;
    double upper = image_at(image, left, top)[channel] * (1 - across) +
                   image_at(image, right, top)[channel] * across;
    double lower = image_at(image, left, bottom)[channel] * (1 - across) +
                   image_at(image, right, bottom)[channel] * across;

    return upper * (1 - down) + lower * down;
}

uint32_t canvas_pixel(const struct image *image, struct point corner, double step, int side)
{
    uint32_t pixel = 0;

    for (int k = 0; k < IMAGE_CHANNELS; k++) {
        double sum = 0;

        for (int i = 0; i < side * side; i++)
            sum += sample_between(image, corner.x + (i % side + 0.5) * step / side - 0.5,
                                  corner.y + ((double)(i / side) + 0.5) * step / side - 0.5, k);
        pixel = pixel << 8 | (uint32_t)lround(sum / (side * side) * 255 / IMAGE_SAMPLE_MAX);
    }
    return pixel;
}
