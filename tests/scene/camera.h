#ifndef SCENE_CAMERA_H
#define SCENE_CAMERA_H

#include "spectrum.h"

/*
 * Invented cameras: what each channel sees of the spectrum, and the matrix
 * its maker gave it to come near sRGB.
 */

enum { LIGHTS = 2 };

/** What the sensor answers to one surface, white balanced, per light source. */
struct response {
    float rgb[LIGHTS][3];
};

/** Weights over a reflectance that give a response. */
struct receptor {
    struct spectrum weight[LIGHTS][3];
};

int cameras_count(void);
const char *camera_name(int camera);
struct spectrum camera_sensitivity(int camera, int channel);

/**
 * White balance a camera for two lights that mix.
 *
 * Shape:   each light gives a response of 1 in green from a perfect white;
 *          together, at `share` of the second, they give `gain` in each channel.
 */
struct receptor receptor_balance(int camera, const struct spectrum light[LIGHTS], double share,
                                 const double gain[3]);

struct response receptor_see(const struct receptor *receptor, const struct spectrum *reflectance);

/**
 * The maker's matrix from balanced sensor values to linear sRGB: least squares
 * over the inks and the card in D65, white kept white.
 */
void camera_matrix(int camera, const struct observer *observer, double matrix[3][3]);

/** How far the channels are from being the observer's: the part of their norm left unexplained. */
double camera_unlike_observer(int camera, const struct observer *observer);

#endif
