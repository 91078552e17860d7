#include "correction/correction.h"

#include "base/memory.h"
#include "correction/colour_model.h"
#include "correction/icc.h"
#include "correction/light.h"
#include "correction/tone.h"
#include "values/linear.h"
#include "values/statistics.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define ROUNDS 3
#define NEUTRALS_MIN 3
#define CLIPPED_MAX 0.02

/* The model of the rounds before the choice: it serves with any number of patches. */
#define WORKING_FORM COLOUR_ROOT_2
#define WORKING_RIDGE 100.0

/* How well a patch's colour tells the light: about the size of the model's errors. */
#define PATCH_DEVIATION 0.03
#define PATCH_DARK 0.03 /* channels below this part of white tell less still */
#define PAPER_DEVIATION 0.003

/* Error of the card's own colours against the table, per axis, in delta E 2000 (cards of one make
 * differ by some tenths, and age: common practice, no source), and what is left of it once the
 * fit has averaged over the patches. */
#define CARD_DEVIATION 0.3
#define CARD_PASSED_ON 0.5

/* The fit's error at a colour, relative to the leave-one-out errors near it: these tell of the
 * card's own pigments, and the more colourful an ink, and the further outside the card's
 * colours, the more its spectrum differs from theirs. Fitted by likelihood to simulated inks. */
#define ERROR_OF_GREYS 1.1
#define ERROR_BY_CHROMA 0.02
#define ERROR_BY_DISTANCE 0.05

/* Reach of a patch's leave-one-out error, in Lab units, and the weight of all patches together. */
#define REACH 30.0
#define SHRINKAGE 1.0

/* A colour this far, in Lab units, outside the hull of the card's colours is still supported. */
#define SUPPORT_MARGIN 10.0
#define HULL_STEPS 60

struct correction {
    struct tone tone;
    struct light_field light;
    struct colour_model model;
    struct colour_patch patches[CARD_PATCHES]; /* the used ones */
    struct colour_check check;
    int card_index[CARD_PATCHES];
    struct area_sample samples[CARD_PATCHES];
    int count;
    struct point card_centre;
    double card_size_px;
    struct icc_pipeline *pipeline;
};

/* --- taking in the card --- */

static bool usable(const struct correction_input *input, int patch)
{
    const struct area_sample *sample = &input->patch[patch];

    if (!input->use_patch[patch] || sample->clipped > CLIPPED_MAX)
        return false;
    for (int k = 0; k < 3; k++)
        if (!(sample->rgb_linear.channel[k] > 0))
            return false;
    return true;
}

static enum status take_patches(const struct correction_input *input, struct correction *correction,
                                struct error *error)
{
    int neutrals = 0;

    for (int i = 0; i < CARD_PATCHES; i++)
        if (usable(input, i)) {
            int next = correction->count++;

            correction->card_index[next] = i;
            correction->samples[next] = input->patch[i];
            correction->patches[next].lab = input->card->patch[i];
            correction->patches[next].weight = 1;
            neutrals += i >= CARD_FIRST_NEUTRAL;
        }
    if (correction->count < COLOUR_PATCHES_MIN || neutrals < NEUTRALS_MIN)
        return error_set(error, STATUS_QUALITY,
                         "only %d of the card's %d patches can be used, %d of them neutral; at "
                         "least %d with %d neutrals are needed: expose so that no patch is "
                         "clipped, and keep the card free of glare and fingers",
                         correction->count, CARD_PATCHES, neutrals, COLOUR_PATCHES_MIN,
                         NEUTRALS_MIN);
    return STATUS_OK;
}

static void place_card(const struct correction_input *input, struct correction *correction)
{
    struct point sum = {0, 0};

    for (int i = 0; i < CARD_PATCHES; i++)
        sum = point_add(sum, input->patch[i].at);
    correction->card_centre = point_scale(sum, 1.0 / CARD_PATCHES);
    for (int i = 0; i < CARD_PATCHES; i++)
        correction->card_size_px =
            fmax(correction->card_size_px,
                 2 * point_distance(correction->card_centre, input->patch[i].at));
    correction->card_size_px = fmax(correction->card_size_px, 1);
}

static bool neutral(const struct correction *correction, int i)
{
    return correction->card_index[i] >= CARD_FIRST_NEUTRAL;
}

/* --- the steps of a round --- */

/* Camera values that a patch would have at the card's middle. D50 XYZ to linear sRGB serves
 * until there is a model. Source: IEC 61966-2-1 with the Bradford adaptation, from memory. */
static struct rgb expected(const struct correction *correction, int i)
{
    static const double srgb_from_xyz[9] = {3.1338561,  -1.6168667, -0.4906146,
                                            -0.9787684, 1.9161415,  0.0334540,
                                            0.0719453,  -0.2289914, 1.4052427};
    struct xyz xyz = colour_xyz_from_lab(correction->patches[i].lab);
    struct rgb rgb;

    if (correction->model.scale[0] > 0)
        return colour_model_inverse(&correction->model, correction->patches[i].lab);
    linear_apply_3x3(srgb_from_xyz, (double[3]){xyz.X, xyz.Y, xyz.Z}, rgb.channel);
    return rgb;
}

static enum status fit_tone(struct correction *correction, struct error *error)
{
    struct tone_neutral neutrals[CARD_NEUTRALS];
    int count = 0;

    for (int i = 0; i < correction->count; i++)
        if (neutral(correction, i)) {
            struct rgb light = light_at(&correction->light, correction->samples[i].at);
            struct rgb scene = expected(correction, i);

            for (int k = 0; k < 3; k++)
                scene.channel[k] *= light.channel[k];
            neutrals[count++] = (struct tone_neutral){correction->samples[i].rgb_linear, scene};
        }
    return tone_fit(neutrals, count, &correction->tone, error);
}

static struct light_sample light_from_paper(const struct correction *correction,
                                            const struct area_sample *paper)
{
    struct rgb rgb = tone_undo_rgb(&correction->tone, paper->rgb_linear);
    struct light_sample sample = {.at = paper->at, .surface = LIGHT_PAPER};
    double scatter = 0;

    for (int k = 0; k < 3; k++) {
        sample.log_ratio[k] = log(fmax(rgb.channel[k], 1e-6));
        scatter = fmax(scatter, paper->deviation_linear.channel[k] /
                                    fmax(paper->rgb_linear.channel[k], 1e-6));
    }
    sample.deviation = hypot(PAPER_DEVIATION, scatter / sqrt(fmax(paper->kept, 1)));
    return sample;
}

static struct light_sample light_from_patch(const struct correction *correction, int i)
{
    struct rgb seen = tone_undo_rgb(&correction->tone, correction->samples[i].rgb_linear);
    struct rgb wanted = expected(correction, i);
    struct light_sample sample = {.at = correction->samples[i].at, .surface = LIGHT_CARD};
    double darkest = 1;

    for (int k = 0; k < 3; k++) {
        sample.log_ratio[k] = log(fmax(seen.channel[k], 1e-6) / fmax(wanted.channel[k], 1e-6));
        darkest = fmin(darkest, wanted.channel[k] / correction->model.scale[k]);
    }
    sample.deviation = PATCH_DEVIATION * (1 + PATCH_DARK / fmax(darkest, 1e-4)) /
                       sqrt(fmax(correction->patches[i].weight, 1e-4));
    return sample;
}

static enum status fit_light(const struct correction_input *input, struct correction *correction,
                             struct error *error)
{
    struct light_sample *samples =
        memory_array(input->paper_count + CARD_PATCHES, sizeof *samples, "the light", error);
    size_t count = 0;
    enum status status;

    if (!samples)
        return error->status;
    for (size_t i = 0; i < input->paper_count; i++)
        if (input->paper[i].clipped <= CLIPPED_MAX)
            samples[count++] = light_from_paper(correction, &input->paper[i]);
    for (int i = 0; correction->model.scale[0] > 0 && i < correction->count; i++)
        samples[count++] = light_from_patch(correction, i);
    status = light_fit(samples, count, correction->card_centre, correction->card_size_px,
                       &correction->light, error);
    free(samples);
    return status;
}

static void undo_tone_and_light(struct correction *correction)
{
    for (int i = 0; i < correction->count; i++) {
        struct rgb light = light_at(&correction->light, correction->samples[i].at);
        struct rgb rgb = tone_undo_rgb(&correction->tone, correction->samples[i].rgb_linear);

        for (int k = 0; k < 3; k++)
            correction->patches[i].scene_linear.channel[k] = rgb.channel[k] / light.channel[k];
    }
}

/* Camera values of the perfect white, from the neutrals: what makes the fit free of exposure. */
static void set_scale(struct correction *correction)
{
    double luminance = 0, seen[3] = {0, 0, 0};

    for (int i = 0; i < correction->count; i++)
        if (neutral(correction, i)) {
            double weight = correction->patches[i].weight;

            luminance += weight * colour_xyz_from_lab(correction->patches[i].lab).Y;
            for (int k = 0; k < 3; k++)
                seen[k] += weight * correction->patches[i].scene_linear.channel[k];
        }
    for (int k = 0; k < 3; k++)
        correction->model.scale[k] = seen[k] / luminance;
}

static enum status fit_colour(struct correction *correction, struct error *error)
{
    enum status status;

    undo_tone_and_light(correction);
    set_scale(correction);
    correction->model.form = WORKING_FORM;
    correction->model.ridge = WORKING_RIDGE;
    status = colour_model_fit(correction->patches, correction->count, &correction->model,
                              &correction->check, error);
    if (!status)
        colour_model_reweigh(&correction->check, correction->patches, correction->count);
    return status;
}

static enum status choose_colour(struct correction *correction, struct error *error)
{
    undo_tone_and_light(correction);
    return colour_model_choose(correction->patches, correction->count, &correction->model,
                               &correction->check, error);
}

/* --- how good it is --- */

static void rate_patches(const struct correction *correction, struct correction_quality *quality)
{
    snprintf(quality->method, sizeof quality->method, "%s",
             colour_form_name(correction->model.form));
    for (int i = 0; i < correction->count; i++) {
        int patch = correction->card_index[i];
        struct lab truth = correction->patches[i].lab;
        struct lab missed = correction->check.left_out[i];
        struct lab predicted = {truth.L + missed.L, truth.a + missed.a, truth.b + missed.b};

        correction_lab(correction, &correction->patches[i].scene_linear, 1,
                       &quality->measured[patch]);
        quality->residual[patch] = colour_delta_e_2000(quality->measured[patch], truth);
        quality->left_out[patch] = colour_delta_e_2000(predicted, truth);
        quality->used[patch] = correction->patches[i].weight > 0;
    }
}

static void summarise(struct correction_quality *quality)
{
    double residuals[CARD_PATCHES], left_out[CARD_PATCHES];
    size_t count = 0;

    for (int i = 0; i < CARD_PATCHES; i++)
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
        white.channel[k] = 0.85 * correction->model.scale[k];
        shone.channel[k] = white.channel[k] * light.channel[k] / *level;
    }
    lab[0] = colour_model_lab(&correction->model, white);
    lab[1] = colour_model_lab(&correction->model, shone);
    lab[1].L = lab[0].L;
    return colour_delta_e_2000(lab[0], lab[1]);
}

static void rate_light(const struct correction *correction, const struct correction_input *input,
                       struct correction_quality *quality)
{
    double lowest = INFINITY, highest = 0, level;

    for (size_t i = 0; i < input->paper_count + CARD_PATCHES; i++) {
        struct point at = i < CARD_PATCHES ? input->patch[i].at : input->paper[i - CARD_PATCHES].at;

        quality->light_shift = fmax(quality->light_shift, light_shift_at(correction, at, &level));
        lowest = fmin(lowest, level);
        highest = fmax(highest, level);
    }
    quality->light_falloff = highest / lowest - 1;
}

/* --- the fit --- */

static enum status fit_rounds(const struct correction_input *input, struct correction *correction,
                              struct error *error)
{
    enum status status = take_patches(input, correction, error);

    place_card(input, correction);
    correction->tone = tone_identity();
    for (int round = 0; !status && round < ROUNDS; round++) {
        status = fit_light(input, correction, error);
        if (!status)
            status = fit_tone(correction, error);
        if (!status)
            status = fit_colour(correction, error);
    }
    if (!status)
        status = choose_colour(correction, error);
    if (!status)
        status = icc_pipeline_create(&correction->model, &correction->pipeline, error);
    return status;
}

enum status correction_fit(const struct correction_input *input, struct correction **correction,
                           struct correction_quality *quality, struct error *error)
{
    struct correction *made = memory_array(1, sizeof *made, "the correction", error);
    enum status status;

    *correction = NULL;
    memset(quality, 0, sizeof *quality);
    if (!made)
        return error->status;
    status = fit_rounds(input, made, error);
    if (status) {
        correction_release(made);
        return status;
    }
    rate_patches(made, quality);
    summarise(quality);
    rate_light(made, input, quality);
    *correction = made;
    return STATUS_OK;
}

void correction_release(struct correction *correction)
{
    if (!correction)
        return;
    icc_pipeline_release(correction->pipeline);
    free(correction);
}

/* --- applying it --- */

double correction_tone(const struct correction *correction, int channel, double linear)
{
    return tone_undo(&correction->tone, channel, linear);
}

struct rgb correction_light(const struct correction *correction, struct point at)
{
    return light_at(&correction->light, at);
}

void correction_lab(const struct correction *correction, const struct rgb *scene_linear, int count,
                    struct lab *lab)
{
    icc_pipeline_lab(correction->pipeline, scene_linear, count, lab);
}

enum status correction_write_profile(const struct correction *correction, const struct photo *photo,
                                     const char *path, struct error *error)
{
    return icc_write_profile(correction->pipeline, &correction->tone, photo, path, error);
}

enum status correction_apply(const struct correction *correction, struct photo *photo,
                             struct error *error)
{
    return icc_apply(correction->pipeline, &correction->tone, &correction->light, photo, error);
}

/* --- the card's gamut --- */

static double dot(struct lab a, struct lab b)
{
    return a.L * b.L + a.a * b.a + a.b * b.b;
}

static struct lab between(struct lab a, struct lab b, double part)
{
    return (struct lab){a.L + part * (b.L - a.L), a.a + part * (b.a - a.a),
                        a.b + part * (b.b - a.b)};
}

static struct lab minus(struct lab a, struct lab b)
{
    return (struct lab){a.L - b.L, a.a - b.a, a.b - b.b};
}

/*
 * Distance of a colour from the convex hull of the card's: walk towards the
 * corner that lies furthest along the way to the colour.
 * Source: Gilbert 1966; Frank and Wolfe 1956.
 */
static double distance_from_hull(const struct correction *correction, struct lab lab)
{
    struct lab nearest = correction->patches[0].lab;

    for (int step = 0; step < HULL_STEPS; step++) {
        struct lab way = minus(lab, nearest), furthest = nearest, edge;
        double part;

        for (int i = 0; i < correction->count; i++)
            if (dot(way, correction->patches[i].lab) > dot(way, furthest))
                furthest = correction->patches[i].lab;
        edge = minus(furthest, nearest);
        part = dot(edge, edge) > 0 ? dot(way, edge) / dot(edge, edge) : 0;
        nearest = between(nearest, furthest, fmin(fmax(part, 0), 1));
    }
    return sqrt(dot(minus(lab, nearest), minus(lab, nearest)));
}

bool correction_supports(const struct correction *correction, struct lab lab)
{
    return distance_from_hull(correction, lab) <= SUPPORT_MARGIN;
}

/* --- what it does not know --- */

static void add_outer(const double vector[3], double weight, double sum[9])
{
    for (int k = 0; k < 9; k++)
        sum[k] += weight * vector[k / 3] * vector[k % 3];
}

static void whitened_left_out(const struct correction *correction, int i, double whitened[3])
{
    struct lab missed = correction->check.left_out[i];
    double whitener[9];

    colour_whitener(correction->patches[i].lab, whitener);
    linear_apply_3x3(whitener, (double[3]){missed.L, missed.a, missed.b}, whitened);
}

/* Leave-one-out errors near a colour, in delta E 2000 axes; those of far ones count for a share. */
static void fit_covariance(const struct correction *correction, struct lab lab, double sum[9])
{
    double weights = 0, growth;

    memset(sum, 0, 9 * sizeof *sum);
    for (int i = 0; i < correction->count; i++) {
        struct lab patch = correction->patches[i].lab;
        double square = (patch.L - lab.L) * (patch.L - lab.L) +
                        (patch.a - lab.a) * (patch.a - lab.a) +
                        (patch.b - lab.b) * (patch.b - lab.b);
        double weight = correction->patches[i].weight *
                        (exp(-square / (2 * REACH * REACH)) + SHRINKAGE / correction->count);
        double whitened[3];

        whitened_left_out(correction, i, whitened);
        add_outer(whitened, weight, sum);
        weights += weight;
    }
    growth = ERROR_OF_GREYS + ERROR_BY_CHROMA * colour_chroma(lab) +
             ERROR_BY_DISTANCE * distance_from_hull(correction, lab);
    for (int k = 0; k < 9; k++)
        sum[k] *= growth * growth / weights;
}

/* How Lab moves with the logarithm of each channel's light. */
static void light_slopes(const struct correction *correction, struct lab lab, double slopes[9])
{
    const double step = 0.01;
    struct rgb rgb = colour_model_inverse(&correction->model, lab);
    struct lab here = colour_model_lab(&correction->model, rgb);

    for (int k = 0; k < 3; k++) {
        struct rgb brighter = rgb;
        struct lab moved;

        brighter.channel[k] *= 1 + step;
        moved = colour_model_lab(&correction->model, brighter);
        slopes[k] = (moved.L - here.L) / step;
        slopes[3 + k] = (moved.a - here.a) / step;
        slopes[6 + k] = (moved.b - here.b) / step;
    }
}

void correction_covariance(const struct correction *correction, struct point at, struct lab lab,
                           double covariance[9])
{
    const double card = CARD_DEVIATION * CARD_PASSED_ON;
    double whitened[9], whitener[9], unwhitener[9], light[9], slopes[9], carried[9];

    fit_covariance(correction, lab, whitened);
    for (int k = 0; k < 3; k++)
        whitened[4 * k] += card * card;
    colour_whitener(lab, whitener);
    linear_invert_3x3(whitener, unwhitener);
    linear_carry_3x3(unwhitener, whitened, covariance);
    light_slopes(correction, lab, slopes);
    light_covariance(&correction->light, at, light);
    linear_carry_3x3(slopes, light, carried);
    for (int k = 0; k < 9; k++)
        covariance[k] += carried[k];
}
