#include "noise.h"

#include <gsl/gsl_cdf.h>

static uint32_t hash(int32_t x, int32_t y, uint32_t seed)
{
    uint32_t h = (uint32_t)x * 0x9e3779b1u ^ (uint32_t)y * 0x85ebca77u ^ seed * 0xc2b2ae3du;

    h ^= h >> 15;
    h *= 0x2c1b3c6du;
    h ^= h >> 12;
    h *= 0x297a2d39u;
    return h ^ h >> 15;
}

double noise_hash(int32_t x, int32_t y, uint32_t seed)
{
    return hash(x, y, seed) * (1.0 / 4294967295.0);
}

static int32_t floor_whole(double value)
{
    int32_t whole = (int32_t)value;

    return whole - (value < whole);
}

double noise_smooth(double x, double y, uint32_t seed)
{
    int32_t i = floor_whole(x), j = floor_whole(y);
    double u = x - i, v = y - j;
    double top, bottom;

    u = u * u * (3.0 - 2.0 * u);
    v = v * v * (3.0 - 2.0 * v);
    top = noise_hash(i, j, seed) * (1.0 - u) + noise_hash(i + 1, j, seed) * u;
    bottom = noise_hash(i, j + 1, seed) * (1.0 - u) + noise_hash(i + 1, j + 1, seed) * u;
    return 2.0 * (top * (1.0 - v) + bottom * v) - 1.0;
}

double noise_rough(double x, double y, uint32_t seed)
{
    return 0.65 * noise_smooth(x, y, seed) +
           0.35 * noise_smooth(2.3 * x + 7.1, 2.3 * y + 3.7, seed + 1);
}

void normal_start(struct normal_stream *stream, uint32_t seed)
{
    stream->state = 0x9e3779b97f4a7c15u ^ ((uint64_t)seed * 0xd1342543de82ef95u);
    stream->left = 0;
    for (int i = 0; i < NORMAL_STEPS; i++)
        stream->quantile[i] = (float)gsl_cdf_ugaussian_Pinv((i + 0.5) / NORMAL_STEPS);
}

float normal_next(struct normal_stream *stream)
{
    float value;

    if (!stream->left) {
        stream->state ^= stream->state << 13;
        stream->state ^= stream->state >> 7;
        stream->state ^= stream->state << 17;
        stream->bits = stream->state * 0x2545f4914f6cdd1du;
        stream->left = 5;
    }
    value = stream->quantile[stream->bits >> 52];
    stream->bits <<= 12;
    stream->left--;
    return value;
}
