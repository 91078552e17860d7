#ifndef SCENE_LOOK_H
#define SCENE_LOOK_H

/*
 * The look that a camera gives its pictures after white balance and matrix:
 * tone, saturation and hue bent to please, and a way with colours that the
 * file can't hold. Invented, drawn from the ranges that real files show.
 */

enum { LOOKS = 24, TONE_KNOTS = 4, LOOK_HUES = 6, TONE_STEPS = 4096 };

struct look {
    double gain;             /* of the linear values, before the curve */
    double knot[TONE_KNOTS]; /* what the curve adds at encoded 0.2, 0.4, 0.6, 0.8 */
    double on_luminance;     /* share of the curve that acts on luminance, not on each channel */
    double chroma;           /* factor */
    double chroma_dark;      /* the same at black, over that in the middle; 1: the same */
    double chroma_light;     /* at white */
    double hue_chroma[LOOK_HUES]; /* factor at hues 0, 60, ... 300 degrees, over `chroma` */
    double twist_degrees[LOOK_HUES];
    double twist_light_degrees; /* more at white, as much less at black */
    double squeeze;             /* 0: what the file can't hold is clipped; 1: made greyer to fit */
};

/** A look ready for use: the curve as a table over the square root of linear light. */
struct prepared_look {
    struct look look;
    float tone[TONE_STEPS + 2]; /* linear to linear */
};

/**
 * One of the looks.
 *
 * Shape:   `number` from 1 to LOOKS; odd ones are known, even ones held out,
 *          so that nothing is to be tuned on them.
 */
struct look look_draw(int number);

/** Give only part of a look: what it changes is changed by so much, 0 to 1. */
void look_scale(struct look *look, double part);

void look_prepare(struct prepared_look *prepared, const struct look *look);

/** Bend one pixel of linear sRGB, any sign, 1 the sensor's white. */
void look_bend(const struct prepared_look *prepared, float rgb_linear[3]);

/** Bring linear values of the file's own primaries into 0 to 1. */
void look_fit(const struct prepared_look *prepared, float rgb_linear[3]);

#endif
