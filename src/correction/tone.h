#ifndef WOAD_CORRECTION_TONE_H
#define WOAD_CORRECTION_TONE_H

#include "base/error.h"
#include "files/card.h"
#include "values/colour.h"

#include <stdbool.h>

/*
 * The camera's tone curve, undone: one monotone curve a channel from the
 * photo's linear light to light that is proportional to the scene's. Fitted
 * between cube roots, where errors look about equal to the eye: a polynomial
 * over the span of the neutrals and a little above, a straight line beyond.
 */
#define TONE_TERMS_MAX 4 /* constant to cube */
#define TONE_NEUTRALS_MAX CARD_PATCHES_MAX

struct tone {
    int degree;  /* 0: no curve, only a factor; 1 to 3 */
    bool shared; /* one shape for all channels, as a camera applies it */
    struct tone_curve {
        double coefficient[TONE_TERMS_MAX];
        double low; /* cube roots; the polynomial holds from low to high */
        double high;
    } channel[3];
};

/* One neutral: what the photo gave, and the light it must have been up to a factor a channel. */
struct tone_neutral {
    struct rgb rgb_linear;
    struct rgb scene_linear;
};

/** The curve that leaves everything alone. */
struct tone tone_identity(void);

/**
 * Fit tone curves to the neutrals: the simplest shape whose leave-one-out
 * error is near the best, robust to one bad neutral.
 *
 * Shape:   `count` neutrals, up to TONE_NEUTRALS_MAX; fewer than 3 give the
 *          identity.
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status tone_fit(const struct tone_neutral *neutrals, int count, struct tone *tone,
                              struct error *error);

/**
 * Fit only a factor a channel, as tone_fit does: raw light has no curve to be undone.
 *
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status tone_fit_straight(const struct tone_neutral *neutrals, int count,
                                       struct tone *tone, struct error *error);

/** Undo the curve on one value; strictly rising in `linear`. */
double tone_undo(const struct tone *tone, int channel, double linear);

struct rgb tone_undo_rgb(const struct tone *tone, struct rgb rgb_linear);

#endif
