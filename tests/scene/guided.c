#include "guided.h"

#include "basics.h"

#include <stdlib.h>
#include <string.h>

/* The means over a window along a line of values `stride` apart, the window cut at the ends. */
static void mean_line(float *line, size_t stride, int length, int reach, double *sums)
{
    sums[0] = 0.0;
    for (int i = 0; i < length; i++)
        sums[i + 1] = sums[i] + line[(size_t)i * stride];
    for (int i = 0; i < length; i++) {
        int low = i < reach ? 0 : i - reach, high = i + reach >= length ? length : i + reach + 1;

        line[(size_t)i * stride] = (float)((sums[high] - sums[low]) / (high - low));
    }
}

static void mean_window(float *plane, int width, int height, int reach)
{
    int longer = width > height ? width : height;
    double *sums = allocate((size_t)longer + 1, sizeof *sums);

    for (int y = 0; y < height; y++)
        mean_line(plane + (size_t)y * (size_t)width, 1, width, reach, sums);
    for (int x = 0; x < width; x++)
        mean_line(plane + x, (size_t)width, height, reach, sums);
    free(sums);
}

float *guided_smooth(const float *plane, int width_px, int height_px, int reach_px, double edge)
{
    size_t count = (size_t)width_px * (size_t)height_px;
    float *mean = allocate(count, sizeof *mean), *slope = allocate(count, sizeof *slope);

    memcpy(mean, plane, count * sizeof *mean);
    for (size_t i = 0; i < count; i++)
        slope[i] = plane[i] * plane[i];
    mean_window(mean, width_px, height_px, reach_px);
    mean_window(slope, width_px, height_px, reach_px);
    for (size_t i = 0; i < count; i++) { /* now a x + b, a and b of the window about each place */
        float variance = slope[i] - mean[i] * mean[i];

        variance = variance < 0.0f ? 0.0f : variance;
        slope[i] = variance / (variance + (float)(edge * edge));
        mean[i] *= 1.0f - slope[i];
    }
    mean_window(mean, width_px, height_px, reach_px);
    mean_window(slope, width_px, height_px, reach_px);
    for (size_t i = 0; i < count; i++)
        mean[i] += slope[i] * plane[i];
    free(slope);
    return mean;
}
