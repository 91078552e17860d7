#include "raster.h"

#include "basics.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { REACH_MAX = 12 };

size_t raster_count(const struct raster *raster)
{
    return (size_t)raster->width_px * (size_t)raster->height_px;
}

void raster_start(struct raster *raster, int width_px, int height_px)
{
    raster->width_px = width_px;
    raster->height_px = height_px;
    for (int i = 0; i < 3; i++)
        raster->plane[i] = allocate(raster_count(raster), sizeof *raster->plane[i]);
}

void raster_release(struct raster *raster)
{
    for (int i = 0; i < 3; i++)
        free(raster->plane[i]);
    memset(raster, 0, sizeof *raster);
}

static int make_kernel(double sigma_px, float kernel[2 * REACH_MAX + 1])
{
    int reach = (int)clamp(ceil(2.6 * sigma_px), 1.0, REACH_MAX);
    double sum = 0.0;

    for (int i = -reach; i <= reach; i++)
        sum += exp(-0.5 * square(i / sigma_px));
    for (int i = -reach; i <= reach; i++)
        kernel[i + reach] = (float)(exp(-0.5 * square(i / sigma_px)) / sum);
    return reach;
}

static void blur_row(float *row, float *padded, int width, const float *kernel, int reach)
{
    for (int i = 0; i < reach; i++) {
        padded[i] = row[0];
        padded[reach + width + i] = row[width - 1];
    }
    memcpy(padded + reach, row, (size_t)width * sizeof *row);
    memset(row, 0, (size_t)width * sizeof *row);
    for (int j = 0; j <= 2 * reach; j++)
        for (int x = 0; x < width; x++)
            row[x] += kernel[j] * padded[x + j];
}

static void blur_column_row(const struct raster *raster, const float *plane, float *row, int y,
                            const float *kernel, int reach)
{
    memset(row, 0, (size_t)raster->width_px * sizeof *row);
    for (int j = -reach; j <= reach; j++) {
        int from = y + j < 0 ? 0 : y + j >= raster->height_px ? raster->height_px - 1 : y + j;
        const float *source = plane + (size_t)from * (size_t)raster->width_px;

        for (int x = 0; x < raster->width_px; x++)
            row[x] += kernel[j + reach] * source[x];
    }
}

void raster_blur(struct raster *raster, int plane, double sigma_px)
{
    float kernel[2 * REACH_MAX + 1];
    size_t width = (size_t)raster->width_px;
    float *source = raster->plane[plane], *blurred, *padded;
    int reach;

    if (sigma_px < 0.05)
        return;
    reach = make_kernel(sigma_px, kernel);
    blurred = allocate(raster_count(raster), sizeof *blurred);
    padded = allocate(width + 2 * REACH_MAX, sizeof *padded);
    for (int y = 0; y < raster->height_px; y++)
        blur_row(source + (size_t)y * width, padded, raster->width_px, kernel, reach);
    for (int y = 0; y < raster->height_px; y++)
        blur_column_row(raster, source, blurred + (size_t)y * width, y, kernel, reach);
    free(padded);
    free(source);
    raster->plane[plane] = blurred;
}
