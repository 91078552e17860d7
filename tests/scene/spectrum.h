#ifndef SCENE_SPECTRUM_H
#define SCENE_SPECTRUM_H

/*
 * Spectra from 380 to 780 nm every 5 nm: reflectances, illuminants, camera
 * sensitivities and the standard observer.
 */

enum { BANDS = 81, FIRST_NM = 380, STEP_NM = 5 };

struct spectrum {
    double at[BANDS];
};

/** The CIE 1931 observer and D50, made into weights for reflectances. */
struct observer {
    struct spectrum matching[3];   /* x, y and z bar */
    struct spectrum d50_weight[3]; /* X, Y, Z of a reflectance under D50, Y of white = 1 */
    double d50_white[3];
};

double spectrum_nm(int band);
double spectrum_dot(const struct spectrum *a, const struct spectrum *b);
struct spectrum spectrum_product(const struct spectrum *a, const struct spectrum *b);

/**
 * Read one row of a spectral table, interpolated to our bands.
 *
 * Source:  Debian package colord-data, which carries the CIE tables.
 */
struct spectrum spectrum_load(const char *path, int row);

/** One of the CIE illuminants in colord-data, such as "D50" or "F11". */
struct spectrum illuminant_load(const char *name);

/**
 * Daylight of any correlated colour temperature from 4,000 to 25,000 K.
 *
 * Source:  CIE 015:2018, daylight illuminants. D50, D55 and D65 span the same
 *          three components as the CIE's S0, S1, S2, so those files suffice.
 */
struct spectrum illuminant_daylight(double kelvin);

/** Source:  Planck's law with c2 = 1.4388e-2 m K, 1 at 560 nm. */
struct spectrum illuminant_planck(double kelvin);

/** A white LED, invented: a blue line at 452 nm and a broad phosphor. */
struct spectrum illuminant_led(double phosphor);

struct observer observer_load(void);

/** Tristimulus values of a light, Y = 1. */
void observer_white(const struct observer *observer, const struct spectrum *light, double xyz[3]);

/**
 * CIELAB of a reflectance under D50.
 *
 * Source:  CIE 015:2018.
 */
void observer_lab(const struct observer *observer, const struct spectrum *reflectance,
                  double lab[3]);

/** The inverse: D50 tristimulus values of a CIELAB colour. */
void observer_xyz_from_lab(const struct observer *observer, const double lab[3], double xyz[3]);

#endif
