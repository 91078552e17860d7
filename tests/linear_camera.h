#ifndef WOAD_TESTS_LINEAR_CAMERA_H
#define WOAD_TESTS_LINEAR_CAMERA_H

#include "card_values.h"
#include "correction/correction.h"
#include "values/linear.h"

#include <math.h>
#include <string.h>

/*
 * A camera that is a plain matrix of the observer, so that a correction can be
 * exact, with a tone curve and light of the test's choice. Invented numbers.
 */
struct linear_camera {
    double exposure;
    double contrast; /* of an S-curve between encoded values; 0: none */
    double fall_x;   /* change of log light over 1000 px */
    double fall_y;
    double bow;  /* quadratic, over 1000 px from (0, 0) */
    double warm; /* change of log red minus log blue over 1000 px of x */
};

#define LINEAR_CAMERA_PAPERS 63

struct linear_scene {
    struct card card;
    struct correction_input input;
    struct area_sample paper[LINEAR_CAMERA_PAPERS];
};

static const struct lab linear_camera_paper = {93, 0.5, 4};

static inline double linear_camera_encode(double linear)
{
    return linear <= 0.0031308 ? 12.92 * linear : 1.055 * pow(linear, 1 / 2.4) - 0.055;
}

static inline double linear_camera_decode(double encoded)
{
    return encoded <= 0.04045 ? encoded / 12.92 : pow((encoded + 0.055) / 1.055, 2.4);
}

/* Strictly rising for a contrast below 1. */
static inline double linear_camera_curve(double linear, double contrast)
{
    double encoded = linear_camera_encode(linear);
    double turn = 6.283185307179586;

    return linear_camera_decode(encoded - contrast * sin(turn * encoded) / turn);
}

static inline struct rgb linear_camera_light(const struct linear_camera *camera, struct point at)
{
    double x = at.x / 1000, y = at.y / 1000;
    double level = camera->fall_x * x + camera->fall_y * y - camera->bow * (x * x + y * y);

    return (struct rgb){
        {exp(level + camera->warm * x / 2), exp(level), exp(level - camera->warm * x / 2)}};
}

/* Camera values in light of 1, before the tone curve. */
static inline struct rgb linear_camera_scene(struct lab lab)
{
    static const double from_xyz[9] = {2.2, -0.9, -0.25, -0.7, 1.65, 0.03, 0.02, -0.15, 1.3};
    struct xyz xyz = colour_xyz_from_lab(lab);
    struct rgb rgb;

    linear_apply_3x3(from_xyz, (double[3]){xyz.X, xyz.Y, xyz.Z}, rgb.channel);
    return rgb;
}

static inline struct area_sample linear_camera_sample(const struct linear_camera *camera,
                                                      struct lab lab, struct point at)
{
    struct area_sample sample = {.at = at, .pixels = 400, .kept = 400};
    struct rgb light = linear_camera_light(camera, at), scene = linear_camera_scene(lab);

    for (int k = 0; k < 3; k++) {
        double linear = camera->exposure * light.channel[k] * scene.channel[k];

        sample.rgb_linear.channel[k] = linear_camera_curve(linear, camera->contrast);
        sample.deviation_linear.channel[k] = 0.003;
    }
    return sample;
}

static inline struct point linear_camera_patch_at(int patch)
{
    return (struct point){1150 + 80 * (patch % CARD_COLUMNS), 400 + 80 * (patch / CARD_COLUMNS)};
}

/* The card at the right of a sheet that spans (0, 0) to (1000, 1200). */
static inline void linear_camera_take(const struct linear_camera *camera,
                                      struct linear_scene *scene)
{
    memset(scene, 0, sizeof *scene);
    scene->card = card_values();
    scene->input.card = &scene->card;
    for (int i = 0; i < CARD_PATCHES; i++) {
        scene->input.patch[i] =
            linear_camera_sample(camera, scene->card.patch[i], linear_camera_patch_at(i));
        scene->input.use_patch[i] = true;
    }
    for (int i = 0; i < LINEAR_CAMERA_PAPERS; i++)
        scene->paper[i] = linear_camera_sample(camera, linear_camera_paper,
                                               (struct point){i % 7 * 166.0, i / 7 * 150.0});
    scene->input.paper = scene->paper;
    scene->input.paper_count = LINEAR_CAMERA_PAPERS;
}

/* What the correction makes of a colour seen by the camera at a place. */
static inline struct lab linear_camera_read(const struct linear_camera *camera,
                                            const struct correction *correction, struct lab lab,
                                            struct point at)
{
    struct area_sample sample = linear_camera_sample(camera, lab, at);
    struct rgb light = correction_light(correction, at), rgb;
    struct lab read;

    for (int k = 0; k < 3; k++)
        rgb.channel[k] =
            correction_tone(correction, k, sample.rgb_linear.channel[k]) / light.channel[k];
    correction_lab(correction, &rgb, 1, &read);
    return read;
}

#endif
