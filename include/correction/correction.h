#ifndef WOAD_CORRECTION_CORRECTION_H
#define WOAD_CORRECTION_CORRECTION_H

#include "base/error.h"
#include "files/card.h"
#include "values/colour.h"
#include "values/geometry.h"
#include "vision/sampling.h"

#include <stdbool.h>
#include <stddef.h>

/*
 * The correction takes the photo's linear light (as its own profile gives it)
 * to CIELAB D50, in three steps: tone (undo the camera's curve, per channel; a
 * raw photo has none), light (divide by the light that falls at that place),
 * colour (a model held near what was learnt of cameras and their looks, fitted
 * to the card). Made once a photo; then read only.
 */
struct correction; /* opaque: its members are in correction/parts.h */

/* What the fit rests on. */
struct correction_input {
    const struct card *card;
    bool raw; /* the sensor's own light: no camera's curve is to be undone */
    struct area_sample patch[CARD_PATCHES_MAX];
    bool use_patch[CARD_PATCHES_MAX]; /* seen, not clipped, not hidden */
    const struct area_sample *paper;  /* samples of bare chart paper all over the sheet */
    size_t paper_count;
    const struct area_sample *desk; /* samples of the desk around card and sheet */
    size_t desk_count;
};

/* How well the card fits, for the report and the uncertainty. */
struct correction_quality {
    char method[32]; /* "model of plain cameras", "... of camera looks", "... of raw photos" */
    int patches;     /* of the card */
    int patches_used;
    bool used[CARD_PATCHES_MAX];
    struct lab measured[CARD_PATCHES_MAX]; /* corrected colour of each patch */
    double residual[CARD_PATCHES_MAX];     /* delta E 2000 with the patch in the fit */
    double left_out[CARD_PATCHES_MAX];     /* delta E 2000 predicted by a fit without it */
    double residual_mean, residual_max;
    double left_out_mean, left_out_max;
    double as_other_edition; /* what left_out_mean were with the card's other edition; 0: none */
    double light_falloff;    /* largest to smallest light over card and paper, minus 1 */
    double light_shift;      /* largest change of its colour over them, delta E 2000 of a white */
};

/**
 * Fit tone, light and colour to the card and the bare paper, in turns, robustly.
 *
 * Units:   positions in working pixels; a few hundred samples of paper are plenty, none will do.
 * Owns:    the caller releases the correction; `input` is not kept.
 * Returns: STATUS_OK; STATUS_QUALITY if fewer than 12 patches or 3 neutrals can be used, or if
 *          the patches do not fit the card at all; STATUS_MEMORY.
 */
MUST_USE enum status correction_fit(const struct correction_input *input,
                                    struct correction **correction,
                                    struct correction_quality *quality, struct error *error);
void correction_release(struct correction *correction);

/* --- applying it --- */

/** Undo the camera's tone curve on one linear value of one channel; strictly rising. */
double correction_tone(const struct correction *correction, int channel, double linear);

/** The light at a place, relative to the middle of the card: divide by it. Working pixels. */
struct rgb correction_light(const struct correction *correction, struct point at);

/** Bare paper at a place, in the light there: what a cell is read against. Tone undone. */
struct rgb correction_paper_at(const struct correction *correction, struct point at);

/** Bare paper in the light of the card's middle. */
struct rgb correction_paper(const struct correction *correction);

/**
 * Colours of tone-undone, light-divided camera values, through the lcms2 pipeline: about a
 * microsecond each, so for the points of a cell better work with slopes at its mean.
 */
void correction_lab(const struct correction *correction, const struct rgb *scene_linear, int count,
                    struct lab *lab);

/**
 * The colour of one camera value of which some channels lie below the photo's range, where
 * correction_lab has them at 0.
 *
 * Units: `below` how far each channel lies below 0.
 */
struct lab correction_lab_below(const struct correction *correction, struct rgb scene_linear,
                                struct rgb below);

/**
 * The covariance (Lab, 3 x 3) of the error that all cells of this photo share near a colour:
 * the colour fit's (from its leave-one-out errors), the card's own tolerance, and the light
 * field's at that place. What is the cell's own (pixel scatter) is not in it.
 */
void correction_covariance(const struct correction *correction, struct point at, struct lab lab,
                           double covariance[9]);

/**
 * The same for a colour that is read against the bare paper beside it: in place of the light
 * field's error that of the paper's own colour.
 */
void correction_covariance_on_paper(const struct correction *correction, struct lab lab,
                                    double covariance[9]);

/** Whether the card's colours support this colour (inside their hull in Lab, with a margin). */
bool correction_supports(const struct correction *correction, struct lab lab);

/**
 * Write the fitted input profile (photo RGB to Lab, at the light of the card's middle) as an ICC
 * file, version 4.
 *
 * Returns: STATUS_OK; STATUS_FILE if it can't be written; STATUS_MEMORY.
 */
MUST_USE enum status correction_write_profile(const struct correction *correction,
                                              const struct photo *photo, const char *path,
                                              struct error *error);

/**
 * Turn a whole photo into sRGB of true colour, in place of its samples.
 *
 * Returns: STATUS_OK; STATUS_MEMORY, and then the photo is untouched.
 */
MUST_USE enum status correction_apply(const struct correction *correction, struct photo *photo,
                                      struct error *error);

#endif
