#ifndef WOAD_VISION_SAMPLING_H
#define WOAD_VISION_SAMPLING_H

#include "base/error.h"
#include "files/photo.h"
#include "values/colour.h"
#include "values/geometry.h"

#include <stdbool.h>

/*
 * The average of an area of the photo, in linear light as the file's own
 * profile gives it (before any correction), 0 to 1 a channel.
 */
struct area_sample {
    struct point at;             /* centre, working pixels */
    struct rgb rgb_linear;       /* robust mean */
    struct rgb deviation_linear; /* standard deviation of the pixels kept */
    int pixels;                  /* in the area */
    int kept;                    /* after outliers (marks, glare) were left out */
    double brighter;             /* fraction of pixels left out as brighter than the rest */
    double clipped;              /* fraction of pixels with a channel at either end of its range */
};

/**
 * Average the pixels inside a quad robustly: pixels that stand apart from the
 * median (pen marks, glare, dust) are left out.
 *
 * Shape:   `quad` clockwise, working pixels.
 * Returns: STATUS_OK; STATUS_QUALITY if fewer than SAMPLING_PIXELS_MIN pixels
 *          lie inside the photo.
 */
#define SAMPLING_PIXELS_MIN 9
MUST_USE enum status sampling_area(const struct photo *photo, const struct quad *quad,
                                   struct area_sample *sample, struct error *error);

/* A colour as light and what lies on it show it: in logarithms, so that a factor is a step. */
struct log_light {
    double level;   /* mean of the channels */
    double tint[2]; /* red and blue over green */
};

/** A colour, above 0 in every channel, in logarithms. */
struct log_light sampling_log_light(const struct rgb *rgb_linear);

/** Whether two differ in both tints by less than a step: one paper in more or less of one light. */
bool sampling_same_tint(const struct log_light *a, const struct log_light *b, double step);

/** How uneven a sample is: its deviation relative to its mean, in the worst channel. */
double sampling_spread(const struct area_sample *sample);

/** How many pixels of a sample, 1 or more, vary each on its own: neighbours vary as one. */
double sampling_independent(const struct area_sample *sample);

/**
 * The plain mean of a small square about a point: a quick look, not a measurement.
 *
 * Returns: false if the square does not lie inside the photo.
 */
bool sampling_glance(const struct photo *photo, struct point at, int radius_px,
                     struct rgb *rgb_linear);

/**
 * Read evenly spaced points of a quad, each the mean of 3 x 3 pixels.
 *
 * Shape:   `rgb_linear` side * side colours at most.
 * Returns: the number read: points outside the photo are left out.
 */
int sampling_points(const struct photo *photo, const struct quad *quad, int side,
                    struct rgb *rgb_linear);

#endif
