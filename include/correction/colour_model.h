#ifndef WOAD_CORRECTION_COLOUR_MODEL_H
#define WOAD_CORRECTION_COLOUR_MODEL_H

#include "values/colour.h"

#include <stdbool.h>

/*
 * From scene-linear camera values to colour: straight to Lab by a matrix that
 * is the same for all photos of a kind, then bent by a polynomial of degree 3
 * over Lab and by chroma times a Fourier series over hue. Cameras bend colours
 * by hue and lightness, as the eye sees them, and differ from one another in
 * the same few ways: the bend is held near what was learnt of them
 * (correction/colour_fit.h).
 */
#define COLOUR_HUES 4 /* the series' order */
#define COLOUR_TERMS (20 + 2 * COLOUR_HUES - 1)

struct colour_model {
    bool raw;         /* of the sensor's own light */
    double scale[3];  /* camera values of the perfect white: what the model divides by */
    double matrix[9]; /* from those to XYZ over white; its rows add up to 1 */
    double coefficient[COLOUR_TERMS][3]; /* of L*, a* and b* by term */
};

/** The straight part alone; channels may lie below 0. */
struct lab colour_model_straight(const struct colour_model *model, struct rgb scene_linear);

/** The bend's terms at a colour of the straight part. */
void colour_model_terms(struct lab straight, double terms[COLOUR_TERMS]);

/** The colour that the bend makes of one of the straight part. */
struct lab colour_model_bend(const struct colour_model *model, struct lab straight);

struct lab colour_model_lab(const struct colour_model *model, struct rgb scene_linear);

/** The camera values that the straight part takes to a colour. */
struct rgb colour_model_straight_inverse(const struct colour_model *model, struct lab lab);

/** The colour of the straight part that is bent to a colour. */
struct lab colour_model_unbend(const struct colour_model *model, struct lab lab);

/** The camera values that the whole model takes to a colour. */
struct rgb colour_model_inverse(const struct colour_model *model, struct lab lab);

/** A factor W with W'W = the metric of delta E 2000 at a colour: |W d| is the delta E of d. */
void colour_whitener(struct lab at, double whitener[9]);

#endif
