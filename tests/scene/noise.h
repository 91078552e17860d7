#ifndef SCENE_NOISE_H
#define SCENE_NOISE_H

/*
 * Repeatable randomness: textures that are functions of place, and a fast
 * stream of normal deviates for the sensor.
 */

#include <stdint.h>

/** A number from 0 to 1 that depends on the lattice point and the seed alone. */
double noise_hash(int32_t x, int32_t y, uint32_t seed);

/** Smooth noise from -1 to 1 that changes over a distance of about 1. */
double noise_smooth(double x, double y, uint32_t seed);

/** Two octaves of it. */
double noise_rough(double x, double y, uint32_t seed);

enum { NORMAL_STEPS = 4096 };

/** A stream of normal deviates, four from each step of a xorshift generator. */
struct normal_stream {
    uint64_t state;
    uint64_t bits;
    int left;
    float quantile[NORMAL_STEPS];
};

void normal_start(struct normal_stream *stream, uint32_t seed);
float normal_next(struct normal_stream *stream);

#endif
