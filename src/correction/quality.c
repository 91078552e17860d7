#include "quality.h"

#include "parts.h"
#include "values/statistics.h"

#include <math.h>
#include <stdio.h>

static void rate_patches(const struct correction *correction, struct correction_quality *quality)
{
    static const char *const worlds[COLOUR_WORLDS] = {
        "model of plain cameras", "model of camera looks", "model of raw photos"};

    snprintf(quality->method, sizeof quality->method, "%s", worlds[correction->colour.doubt.world]);
    for (int i = 0; i < correction->count; i++) {
        int patch = correction->card_index[i];
        struct lab truth = correction->patches[i].lab;
        struct lab missed = correction->colour.check.left_out[i];
        struct lab predicted = {truth.L + missed.L, truth.a + missed.a, truth.b + missed.b};

        icc_pipeline_lab(correction->pipeline, &correction->patches[i].scene_linear, 1,
                         &quality->measured[patch]);
        quality->residual[patch] = colour_delta_e_2000(quality->measured[patch], truth);
        quality->left_out[patch] = colour_delta_e_2000(predicted, truth);
        quality->used[patch] = correction->patches[i].weight > 0;
    }
}

static void summarise(struct correction_quality *quality)
{
    double residuals[CARD_PATCHES_MAX] = {0}, left_out[CARD_PATCHES_MAX] = {0};
    size_t count = 0;

    for (int i = 0; i < quality->patches; i++)
        if (quality->used[i]) {
            residuals[count] = quality->residual[i];
            left_out[count++] = quality->left_out[i];
        }
    quality->patches_used = (int)count;
    quality->residual_mean = statistics_mean(residuals, count);
    quality->residual_max = count ? statistics_maximum(residuals, count) : 0;
    quality->left_out_mean = statistics_mean(left_out, count);
    quality->left_out_max = count ? statistics_maximum(left_out, count) : 0;
}

/* The light on a white at a place, and how far its colour is from that at the card's middle. */
static double light_shift_at(const struct correction *correction, struct point at, double *level)
{
    struct rgb light = light_at(&correction->light, at);
    struct rgb white, shone;
    struct lab lab[2];

    *level = (light.channel[0] + 2 * light.channel[1] + light.channel[2]) / 4;
    for (int k = 0; k < 3; k++) {
        white.channel[k] = 0.85 * correction->colour.model.scale[k];
        shone.channel[k] = white.channel[k] * light.channel[k] / *level;
    }
    lab[0] = colour_model_lab(&correction->colour.model, white);
    lab[1] = colour_model_lab(&correction->colour.model, shone);
    lab[1].L = lab[0].L;
    return colour_delta_e_2000(lab[0], lab[1]);
}

static void rate_light(const struct correction *correction, const struct correction_input *input,
                       struct correction_quality *quality)
{
    const size_t patches = (size_t)quality->patches;
    double lowest = INFINITY, highest = 0, level;

    for (size_t i = 0; i < input->paper_count + patches; i++) {
        struct point at = i < patches ? input->patch[i].at : input->paper[i - patches].at;

        quality->light_shift = fmax(quality->light_shift, light_shift_at(correction, at, &level));
        lowest = fmin(lowest, level);
        highest = fmax(highest, level);
    }
    quality->light_falloff = highest / lowest - 1;
}

void quality_rate(const struct correction *correction, const struct correction_input *input,
                  struct correction_quality *quality)
{
    quality->patches = input->card->shape.patches;
    rate_patches(correction, quality);
    summarise(quality);
    rate_light(correction, input, quality);
}
