#ifndef WOAD_TESTS_SPECTRA_H
#define WOAD_TESTS_SPECTRA_H

#include "base/error.h"
#include "values/colour.h"

#include <stdint.h>

/*
 * Spectra for the numeric simulation: no picture, only light, surface, eye and
 * camera, summed over wavelength. The truth never passes through the code
 * under test.
 */
#define SPECTRUM_FIRST_NM 380
#define SPECTRUM_STEP_NM 5
#define SPECTRUM_BANDS 71

struct spectrum {
    double band[SPECTRUM_BANDS];
};

struct observer {
    struct spectrum matching[3];
    struct spectrum d50;
    double white[3]; /* XYZ of the perfect diffuser under D50, before scaling to Y = 1 */
};

/**
 * Read the first spectra of a table as Debian's colord-data keeps them.
 *
 * Shape:   `count` spectra, resampled linearly to the simulation's bands.
 */
MUST_USE enum status spectra_read(const char *path, struct spectrum *spectra, int count,
                                  struct error *error);

/** Read the 1931 observer and D50. Source: CIE, as tabulated in colord-data. */
MUST_USE enum status observer_read(struct observer *observer, struct error *error);

/** Lab D50 of a reflectance, relative to the perfect diffuser under D50. */
struct lab observer_lab(const struct observer *observer, const struct spectrum *reflectance);

/**
 * The reflectance between 0 and 1 that has a given Lab and otherwise follows the slopes of
 * `shape` (in the logit) as closely as can be.
 */
MUST_USE enum status observer_reflectance(const struct observer *observer, struct lab lab,
                                          const struct spectrum *shape,
                                          struct spectrum *reflectance, struct error *error);

/* A small random generator, so that a seed means the same on every machine. */
struct random {
    uint64_t state;
};
double random_uniform(struct random *random, double low, double high);
double random_normal(struct random *random);

#endif
