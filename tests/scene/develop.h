#ifndef SCENE_DEVELOP_H
#define SCENE_DEVELOP_H

#include "raster.h"
#include "stage.h"

/**
 * What a camera does to the light it received: blur, noise, its matrix,
 * tone curve, smoothing and sharpening. `raw` becomes the photo, encoded,
 * 0 to 1, upright.
 */
/** What the sensor records: the lens's blur and the noise, no matrix, no tone. */
void expose(const struct stage *stage, struct raster *raw);

void develop(const struct stage *stage, struct raster *raw);

#endif
