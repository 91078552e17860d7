#ifndef WOAD_VALUES_COLOUR_H
#define WOAD_VALUES_COLOUR_H

#include <stdbool.h>

/* CIE colours, 2 degree observer, ICC D50 white, Y = 1 for the perfect diffuser; the formulae are
 * lcms2's. */

struct lab {
    double L;
    double a;
    double b;
};

struct xyz {
    double X;
    double Y;
    double Z;
};

struct rgb {
    double channel[3];
};

struct xyz colour_white(void); /* the ICC D50 white */
struct lab colour_lab_from_xyz(struct xyz xyz);
struct xyz colour_xyz_from_lab(struct lab lab);

/** CIEDE2000 with kL = kC = kH = 1. Source: CIE 142-2001; Sharma, Wu and Dalal 2005. */
double colour_delta_e_2000(struct lab a, struct lab b);

double colour_chroma(struct lab lab);
double colour_hue_degrees(struct lab lab); /* 0 to 360 */

/**
 * The local metric of delta E 2000 at a colour: for a small step d = (dL, da, db),
 * delta E squared is d' G d.
 *
 * Shape:   `metric` 3 x 3, symmetric, row by row.
 * Source:  central differences of CIEDE2000 itself.
 */
void colour_metric(struct lab at, double metric[9]);

/**
 * Encode a D50 colour as sRGB for display, clipped to its gamut.
 *
 * Shape:   `srgb` three values 0 to 1, encoded.
 * Source:  IEC 61966-2-1 through lcms2's built-in profile.
 */
void colour_srgb_from_lab(const struct lab *labs, int count, struct rgb *srgb);

/* A colour as a screen of sRGB shows it. */
struct screen_colour {
    struct rgb srgb; /* as colour_srgb_from_lab gives it */
    bool shown;      /* it was not clipped */
};

/** Tell of many colours at once how a screen shows them: one by one it takes a millisecond each. */
void colour_on_screen(const struct lab *labs, int count, struct screen_colour *on_screen);

/** Whether sRGB holds a colour, so that colour_srgb_from_lab did not clip it. */
bool colour_srgb_shows(struct lab lab);

#endif
