#include "raster.h"

#include "basics.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include <gsl/gsl_math.h>

enum { SPREAD_MAX = 15, SPREAD_SIDE = 2 * SPREAD_MAX + 1, FINE = 8 };

/* What becomes of one bright pixel: weights that sum to 1. */
struct spread {
    float at[SPREAD_SIDE][SPREAD_SIDE];
};

static void add_point(struct spread *spread, double x, double y)
{
    double u = x - floor(x), v = y - floor(y);
    int i = SPREAD_MAX + (int)floor(x), j = SPREAD_MAX + (int)floor(y);

    if (i < 0 || j < 0 || i + 1 >= SPREAD_SIDE || j + 1 >= SPREAD_SIDE)
        return;
    spread->at[j][i] += (float)((1.0 - u) * (1.0 - v));
    spread->at[j][i + 1] += (float)(u * (1.0 - v));
    spread->at[j + 1][i] += (float)((1.0 - u) * v);
    spread->at[j + 1][i + 1] += (float)(u * v);
}

static void normalise(struct spread *spread)
{
    float sum = 0.0f;

    for (int i = 0; i < SPREAD_SIDE * SPREAD_SIDE; i++)
        sum += spread->at[i / SPREAD_SIDE][i % SPREAD_SIDE];
    for (int i = 0; i < SPREAD_SIDE * SPREAD_SIDE; i++)
        spread->at[i / SPREAD_SIDE][i % SPREAD_SIDE] /= sum;
}

static void add_shifted(float *row, const float *source, int width, int shift, float weight)
{
    int first = shift < 0 ? -shift : 0, last = shift > 0 ? width - shift : width;

    for (int x = 0; x < first; x++)
        row[x] += weight * source[0];
    for (int x = first; x < last; x++)
        row[x] += weight * source[x + shift];
    for (int x = last; x < width; x++)
        row[x] += weight * source[width - 1];
}

static void apply(struct raster *raster, int plane, const struct spread *spread)
{
    size_t width = (size_t)raster->width_px;
    float *source = raster->plane[plane], *result = allocate(raster_count(raster), sizeof *source);

    for (int y = 0; y < raster->height_px; y++)
        for (int j = 0; j < SPREAD_SIDE; j++) {
            int from = (int)clamp(y + j - SPREAD_MAX, 0.0, raster->height_px - 1.0);

            for (int i = 0; i < SPREAD_SIDE; i++)
                if (spread->at[j][i] > 0.0f)
                    add_shifted(result + (size_t)y * width, source + (size_t)from * width,
                                raster->width_px, i - SPREAD_MAX, spread->at[j][i]);
        }
    free(source);
    raster->plane[plane] = result;
}

void raster_move(struct raster *raster, int plane, double length_px, double degrees)
{
    struct spread spread = {{{0.0f}}};
    double way = degrees * M_PI / 180.0;
    int points = 1 + FINE * (int)ceil(length_px);

    if (length_px <= 0.0)
        return;
    for (int i = 0; i < points; i++) {
        double along = length_px * ((i + 0.5) / points - 0.5);

        add_point(&spread, along * cos(way), along * sin(way));
    }
    normalise(&spread);
    apply(raster, plane, &spread);
}

void raster_defocus(struct raster *raster, int plane, double radius_px)
{
    struct spread spread = {{{0.0f}}};
    int points = 1 + FINE * (int)ceil(2.0 * radius_px);

    if (radius_px <= 0.0)
        return;
    for (int i = 0; i < points * points; i++) {
        double x = radius_px * (2.0 * (i % points + 0.5) / points - 1.0);
        double y = radius_px * (2.0 * (i / points + 0.5) / points - 1.0);

        if (x * x + y * y <= radius_px * radius_px)
            add_point(&spread, x, y);
    }
    normalise(&spread);
    apply(raster, plane, &spread);
}
