#ifndef SCENE_RASTER_H
#define SCENE_RASTER_H

#include <stddef.h>

/** A picture of 3 planes of floats, rows from the top. */
struct raster {
    int width_px, height_px;
    float *plane[3];
};

void raster_start(struct raster *raster, int width_px, int height_px);
void raster_release(struct raster *raster);
size_t raster_count(const struct raster *raster);

/** Blur one plane with a Gaussian of `sigma_px` up to 4. */
void raster_blur(struct raster *raster, int plane, double sigma_px);

/** Smear one plane along a line, as by a camera that moves. */
void raster_move(struct raster *raster, int plane, double length_px, double degrees);

/** Spread each point of one plane over a disc, as a lens out of focus does. */
void raster_defocus(struct raster *raster, int plane, double radius_px);

#endif
