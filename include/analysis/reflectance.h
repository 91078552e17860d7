#ifndef WOAD_ANALYSIS_REFLECTANCE_H
#define WOAD_ANALYSIS_REFLECTANCE_H

#include "base/error.h"
#include "values/colour.h"

/*
 * Reflectance over wavelength, and the colour it has under D50 for the 2
 * degree observer. Many reflectances have one colour; the one estimated here
 * is the smoothest, which those of inks and paints resemble.
 */
#define REFLECTANCE_FIRST_NM 380
#define REFLECTANCE_STEP_NM 10
#define REFLECTANCE_BANDS 36

struct reflectance {
    double band[REFLECTANCE_BANDS]; /* 0 to 1 */
};

/* What turns a reflectance into XYZ: matching functions times D50, scaled to the ICC white. */
struct reflectance_observer {
    double weight[3][REFLECTANCE_BANDS];
};

/** Source: CIE 15, the 1931 observer, and daylight of 5003 K by its formula. */
struct reflectance_observer reflectance_observer_d50(void);

struct lab reflectance_lab(const struct reflectance_observer *observer,
                           const struct reflectance *reflectance);

/**
 * Estimate the reflectance of a colour.
 *
 * A colour that no reflectance between 0 and 1 has is drawn towards a middle
 * grey until one has it; reflectance_lab tells how far.
 *
 * Returns: STATUS_OK; STATUS_MEMORY.
 * Source:  the least sum of squared slopes of the reflectance's inverse
 *          hyperbolic tangent; Burns 2020, Color Research and Application 45, 8-21.
 */
MUST_USE enum status reflectance_estimate(const struct reflectance_observer *observer,
                                          struct lab lab, struct reflectance *reflectance,
                                          struct error *error);

#endif
