#ifndef WOAD_CORRECTION_ICC_H
#define WOAD_CORRECTION_ICC_H

#include "base/error.h"
#include "correction/colour_model.h"
#include "light.h"
#include "tone.h"
#include "files/photo.h"
#include "values/colour.h"

/*
 * The colour model as an lcms2 pipeline: a matrix and curves to Lab; the
 * polynomial, for which ICC has no stage, is added. A table sampled from both
 * stands in where all has to be ICC: in the profile, and for whole photos.
 */
struct icc_pipeline;

/**
 * Build the pipeline.
 *
 * Owns:    the caller releases it with icc_pipeline_release.
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status icc_pipeline_create(const struct colour_model *model,
                                         struct icc_pipeline **pipeline, struct error *error);
void icc_pipeline_release(struct icc_pipeline *pipeline);

/** Colours of tone-undone, light-divided camera values; some microseconds each. */
void icc_pipeline_lab(const struct icc_pipeline *pipeline, const struct rgb *scene_linear,
                      int count, struct lab *lab);

/**
 * Write an ICC input profile, version 4: the photo's samples to Lab.
 *
 * Returns: STATUS_OK; STATUS_FILE, and then no file of that name is left half
 *          written; STATUS_MEMORY.
 * Source:  ICC.1:2010 (lutAToBType); lcms2 writes it.
 */
MUST_USE enum status icc_write_profile(const struct icc_pipeline *pipeline, const struct tone *tone,
                                       const struct photo *photo, const char *path,
                                       struct error *error);

/**
 * Turn a photo's samples into sRGB of true colour.
 *
 * Returns: STATUS_OK; STATUS_MEMORY, and then the photo is untouched.
 */
MUST_USE enum status icc_apply(const struct icc_pipeline *pipeline, const struct tone *tone,
                               const struct light_field *light, struct photo *photo,
                               struct error *error);

#endif
