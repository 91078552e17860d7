#ifndef WOAD_ANALYSIS_PERCEPTUAL_H
#define WOAD_ANALYSIS_PERCEPTUAL_H

#include "values/colour.h"

/**
 * The map from a small Lab step at a colour to what is seen of it: steps of
 * lightness, chroma and hue whose squares add up to delta E 2000 squared.
 *
 * Shape:   `frame` 3 x 3, row by row; its determinant is never 0.
 */
void perceptual_frame(struct lab at, double frame[9]);

/** Half way between two colours. */
struct lab perceptual_middle(struct lab a, struct lab b);

#endif
