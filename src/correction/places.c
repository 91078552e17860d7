#include "places.h"

#include "base/memory.h"

#include <math.h>

#define CHANNELS IMAGE_CHANNELS

/* The light is worked out this many pixels apart and taken straight between. */
#define LIGHT_STEP_PX 32

float *places_of_samples(const struct tone *tone, const struct photo *photo, const double top[3],
                         struct error *error)
{
    size_t size = IMAGE_SAMPLE_MAX + 1;
    float *places = memory_array(CHANNELS * size, sizeof *places, "the sample table", error);

    for (int k = 0; places && k < CHANNELS; k++)
        for (size_t i = 0; i < size; i++) {
            double scene = tone_undo(tone, k, photo_linear(photo, k, (uint16_t)i));

            places[(size_t)k * size + i] = (float)cbrt(fmax(scene, 0) / top[k]);
        }
    return places;
}

/* What the light at a place does to a cube root, undone. */
static struct rgb light_factor(const struct light_field *light, int x, int y)
{
    struct rgb factor = light_at(light, (struct point){x + 0.5, y + 0.5});

    for (int k = 0; k < CHANNELS; k++)
        factor.channel[k] = 65535 / cbrt(factor.channel[k]);
    return factor;
}

static uint16_t clamp_sample(double value)
{
    return (uint16_t)lround(fmin(fmax(value, 0), IMAGE_SAMPLE_MAX));
}

void places_fill_row(const float *places, const struct light_field *light,
                     const struct image *image, int y)
{
    struct rgb left = light_factor(light, 0, y), right = left;
    uint16_t *sample = image_at(image, 0, y);

    for (int x = 0; x < image->width_px; x++) {
        double part = (x % LIGHT_STEP_PX) / (double)LIGHT_STEP_PX;

        if (x % LIGHT_STEP_PX == 0) {
            left = right;
            right = light_factor(light, x + LIGHT_STEP_PX, y);
        }
        for (int k = 0; k < CHANNELS; k++, sample++) {
            double factor = left.channel[k] + part * (right.channel[k] - left.channel[k]);

            *sample = clamp_sample(factor * places[((size_t)k << 16) + *sample]);
        }
    }
}
