#ifndef WOAD_MEASUREMENT_SCENE_H
#define WOAD_MEASUREMENT_SCENE_H

#include "correction/correction.h"
#include "files/photo.h"
#include "paper.h"

/* The photo with the camera's tone curve undone, and what its cells are read against. */
struct scene {
    struct photo photo; /* borrows all but its tables */
    const struct correction *correction;
    struct paper paper;
    struct rgb *paper_rgb;   /* each paper sample, tone undone, over what paper should give there */
    struct rgb *lit_rgb;     /* the same of each lit one; behind those */
    struct rgb paper_colour; /* of the paper in the light of the card's middle */
};

/**
 * Undo the tone of a photo, once for all its charts.
 *
 * Owns:    the caller releases the scene with scene_release, also on failure; `paper` is taken
 *          over, the photo's samples and the correction are borrowed.
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status scene_create(const struct photo *photo, const struct correction *correction,
                                  struct paper *paper, struct scene **scene, struct error *error);
void scene_release(struct scene *scene);

/** A camera value over the light that gave it. */
struct rgb scene_divided(struct rgb rgb, struct rgb light);

/** The colour of a camera value in the light of the card's middle, tone undone. */
struct lab scene_lab(const struct scene *scene, struct rgb rgb);

#endif
