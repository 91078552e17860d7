#include "correction/correction.h"

#include "base/memory.h"
#include "card_light.h"
#include "colour_fit.h"
#include "gamut.h"
#include "parts.h"
#include "quality.h"
#include "uncertainty.h"
#include "values/linear.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define ROUNDS 3
#define CLIPPED_MAX 0.02

/* How well a patch's colour tells the light: about the size of the model's errors. */
#define PATCH_DEVIATION 0.03
#define PATCH_DARK 0.03 /* channels below this part of white tell less still */
#define PAPER_DEVIATION 0.003
#define DESK_DEVIATION 0.02
#define DESK_DARK 0.003 /* the darker, the more flare and the toe of the curve tell */

/* What paper for ink usually reflects, of the perfect white: common practice, no source. */
#define PAPER_REFLECTANCE 0.86

/* The most that the fit may miss left-out patches by, on average, in delta E 2000. */
#define LEFT_OUT_MAX 10.0

/* A colour this far, in Lab units, outside the hull of the card's colours is still supported. */
#define SUPPORT_MARGIN 10.0

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

    for (int i = 0; i < input->card->shape.patches; i++)
        if (usable(input, i)) {
            int next = correction->count++;

            correction->card_index[next] = i;
            correction->samples[next] = input->patch[i];
            correction->patches[next].lab = input->card->patch[i];
            correction->patches[next].weight = 1;
            correction->patches[next].neutral = input->card->neutral[i];
            neutrals += input->card->neutral[i];
        }
    if (correction->count < COLOUR_PATCHES_MIN || neutrals < CARD_NEUTRALS_MIN)
        return error_set(error, STATUS_QUALITY,
                         "only %d of the card's %d patches can be used, %d of them neutral; at "
                         "least %d with %d neutrals are needed: expose so that no patch is "
                         "clipped, and keep the card free of glare and fingers",
                         correction->count, input->card->shape.patches, neutrals,
                         COLOUR_PATCHES_MIN, CARD_NEUTRALS_MIN);
    return STATUS_OK;
}

static void place_card(const struct correction_input *input, struct correction *correction)
{
    const int patches = input->card->shape.patches;
    struct point sum = {0, 0};

    for (int i = 0; i < patches; i++)
        sum = point_add(sum, input->patch[i].at);
    correction->card_centre = point_scale(sum, 1.0 / patches);
    for (int i = 0; i < patches; i++)
        correction->card_size_px =
            fmax(correction->card_size_px,
                 2 * point_distance(correction->card_centre, input->patch[i].at));
    correction->card_size_px = fmax(correction->card_size_px, 1);
}

/* --- the steps of a round --- */

/* To what greys look like without a look: what more a camera does to them, it does to all colours,
 * and the model takes it up. */
static enum status fit_tone(struct correction *correction, struct error *error)
{
    const struct colour_model start = colour_fit_start(correction->raw);
    struct tone_neutral neutrals[TONE_NEUTRALS_MAX];
    int count = 0;

    for (int i = 0; i < correction->count; i++)
        if (correction->patches[i].neutral) {
            struct rgb light = light_at(&correction->light, correction->samples[i].at);
            struct rgb scene = colour_model_straight_inverse(&start, correction->patches[i].lab);

            for (int k = 0; k < 3; k++)
                scene.channel[k] *= light.channel[k];
            neutrals[count++] = (struct tone_neutral){correction->samples[i].rgb_linear, scene};
        }
    return correction->raw ? tone_fit_straight(neutrals, count, &correction->tone, error)
                           : tone_fit(neutrals, count, &correction->tone, error);
}

static struct light_sample light_from_area(const struct correction *correction,
                                           const struct area_sample *paper,
                                           enum light_surface surface)
{
    struct rgb rgb = tone_undo_rgb(&correction->tone, paper->rgb_linear);
    struct light_sample sample = {.at = paper->at, .surface = surface};
    double scatter = 0;

    for (int k = 0; k < 3; k++) {
        sample.log_ratio[k] = log(fmax(rgb.channel[k], 1e-6));
        scatter = fmax(scatter, paper->deviation_linear.channel[k] /
                                    fmax(paper->rgb_linear.channel[k], 1e-6));
    }
    sample.deviation = scatter / sqrt(fmax(paper->kept, 1));
    if (surface == LIGHT_PAPER)
        sample.deviation = hypot(sample.deviation, PAPER_DEVIATION);
    else
        sample.deviation = hypot(
            sample.deviation,
            DESK_DEVIATION +
                DESK_DARK /
                    fmax(exp((sample.log_ratio[0] + sample.log_ratio[1] + sample.log_ratio[2]) / 3),
                         1e-3));
    return sample;
}

static struct light_sample light_from_patch(const struct correction *correction, int i)
{
    struct rgb seen = tone_undo_rgb(&correction->tone, correction->samples[i].rgb_linear);
    struct rgb wanted = colour_model_inverse(&correction->colour.model, correction->patches[i].lab);
    struct light_sample sample = {.at = correction->samples[i].at, .surface = LIGHT_CARD};
    double darkest = 1;

    for (int k = 0; k < 3; k++) {
        sample.log_ratio[k] = log(fmax(seen.channel[k], 1e-6) / fmax(wanted.channel[k], 1e-6));
        darkest = fmin(darkest, wanted.channel[k] / correction->colour.model.scale[k]);
    }
    sample.deviation = PATCH_DEVIATION * (1 + PATCH_DARK / fmax(darkest, 1e-4)) /
                       sqrt(fmax(correction->patches[i].weight, 1e-4));
    return sample;
}

static struct light_paper usual_paper(const struct correction *correction)
{
    struct light_paper paper = {.known = correction->fitted};

    for (int k = 0; paper.known && k < 3; k++)
        paper.log_ratio[k] = log(PAPER_REFLECTANCE * correction->colour.model.scale[k]);
    return paper;
}

static size_t take_light_samples(const struct correction_input *input,
                                 const struct correction *correction, struct light_sample *samples)
{
    size_t count = 0;

    for (size_t i = 0; i < input->paper_count; i++)
        if (input->paper[i].clipped <= CLIPPED_MAX)
            samples[count++] = light_from_area(correction, &input->paper[i], LIGHT_PAPER);
    for (size_t i = 0; i < input->desk_count; i++)
        samples[count++] = light_from_area(correction, &input->desk[i], LIGHT_DESK);
    for (int i = 0; i < correction->count; i++)
        samples[count++] = light_from_patch(correction, i);
    return count;
}

static enum status fit_light(const struct correction_input *input, struct correction *correction,
                             struct error *error)
{
    struct light_sample *samples =
        memory_array(input->paper_count + input->desk_count + CARD_PATCHES_MAX, sizeof *samples,
                     "the light", error);
    struct light_scene scene = {
        .samples = samples, .paper = usual_paper(correction), .centre = correction->card_centre};
    enum status status;

    if (!samples)
        return error->status;
    scene.count = take_light_samples(input, correction, samples);
    status = light_fit(&scene, &correction->light_beside, error);
    if (!status && !correction->fitted)
        correction->light = correction->light_beside;
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

static enum status fit_colour(struct correction *correction, struct error *error)
{
    double shared[9 * COLOUR_PATCHES_MAX * COLOUR_PATCHES_MAX];
    enum status status;

    undo_tone_and_light(correction);
    colour_fit_scale(correction->patches, correction->count, correction->colour.model.scale);
    card_light_write(correction, shared);
    status = colour_fit(correction->patches, correction->count, shared, &correction->colour, error);
    if (!status)
        status = card_light_take(correction, error);
    correction->fitted = !status;
    return status;
}

static enum status fit_colour_robustly(struct correction *correction, struct error *error)
{
    enum status status = fit_colour(correction, error);

    if (!status)
        colour_fit_reweigh(&correction->colour.check, correction->patches, correction->count);
    return status;
}

/* --- the fit --- */

/* A last guard: what is no card, or mirrored, misses by 25 and more; the worst light by 5. */
static enum status check_fit(const struct correction *correction, struct error *error)
{
    int agreeing = 0;

    for (int i = 0; i < correction->count; i++)
        agreeing += correction->patches[i].weight > 0;
    if (agreeing >= COLOUR_PATCHES_MIN && correction->colour.check.left_out_mean <= LEFT_OUT_MAX)
        return STATUS_OK;
    return error_set(error, STATUS_QUALITY,
                     "the card's colours do not fit together: %d of %d patches agree, missing "
                     "their known colours by %.1f delta E 2000 on average (at most %.0f is "
                     "trusted); check that the whole card is seen, not mirrored, in one light, "
                     "and that its values are those given with --card",
                     agreeing, correction->count, correction->colour.check.left_out_mean,
                     LEFT_OUT_MAX);
}

static enum status fit_rounds(const struct correction_input *input, struct correction *correction,
                              struct error *error)
{
    enum status status = take_patches(input, correction, error);

    place_card(input, correction);
    correction->raw = input->raw;
    correction->colour.model = colour_fit_start(input->raw);
    correction->tone = tone_identity();
    light_even(&correction->light);
    for (int round = 0; !status && round < ROUNDS; round++) {
        status = fit_light(input, correction, error);
        if (!status)
            status = fit_tone(correction, error);
        if (!status)
            status = fit_colour_robustly(correction, error);
    }
    if (!status) /* once more, now that the tone stands: the paper's colour is read from it */
        status = fit_light(input, correction, error);
    if (!status)
        status = fit_colour(correction, error);
    if (!status)
        status = check_fit(correction, error);
    if (!status)
        status = icc_pipeline_create(&correction->colour.model, &correction->pipeline, error);
    return status;
}

/* The same photo fitted as if the card were its other edition, the light left as it is: people
 * seldom know which one they have. That it does not fit is no fault. */
static enum status try_other_edition(const struct correction *correction, const struct card *card,
                                     struct correction_quality *quality, struct error *error)
{
    struct correction other = *correction;
    enum status status = STATUS_OK;

    if (!card->other_edition[0])
        return STATUS_OK;
    for (int i = 0; i < other.count; i++)
        other.patches[i].lab = card->other_patch[other.card_index[i]];
    status = fit_tone(&other, error);
    if (!status)
        status = fit_colour_robustly(&other, error);
    if (!status)
        status = fit_tone(&other, error);
    if (!status)
        status = fit_colour(&other, error);
    if (!status)
        quality->as_other_edition = other.colour.check.left_out_mean;
    return status == STATUS_MEMORY ? status : STATUS_OK;
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
    if (!status) {
        quality_rate(made, input, quality);
        status = try_other_edition(made, input->card, quality, error);
    }
    if (status) {
        correction_release(made);
        return status;
    }
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

struct rgb correction_paper_at(const struct correction *correction, struct point at)
{
    return light_paper_at(&correction->light, at);
}

struct rgb correction_paper(const struct correction *correction)
{
    return light_paper(&correction->light);
}

void correction_lab(const struct correction *correction, const struct rgb *scene_linear, int count,
                    struct lab *lab)
{
    icc_pipeline_lab(correction->pipeline, scene_linear, count, lab);
}

struct lab correction_lab_below(const struct correction *correction, struct rgb scene_linear,
                                struct rgb below)
{
    for (int k = 0; k < 3; k++)
        scene_linear.channel[k] = fmax(scene_linear.channel[k], 0) - below.channel[k];
    return colour_model_lab(&correction->colour.model, scene_linear);
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

/* --- what it does not know --- */

/* How Lab moves with the logarithm of each channel's light (3 x 3), near a colour. */
static void light_slopes(const struct correction *correction, struct lab lab, double slopes[9])
{
    const double step = 0.01;
    struct rgb rgb = colour_model_inverse(&correction->colour.model, lab);
    struct lab here = colour_model_lab(&correction->colour.model, rgb);

    for (int k = 0; k < 3; k++) {
        struct rgb brighter = rgb;
        struct lab moved;

        brighter.channel[k] *= 1 + step;
        moved = colour_model_lab(&correction->colour.model, brighter);
        slopes[k] = (moved.L - here.L) / step;
        slopes[3 + k] = (moved.a - here.a) / step;
        slopes[6 + k] = (moved.b - here.b) / step;
    }
}

static void fit_and_light(const struct correction *correction, struct lab lab,
                          const double light[9], double covariance[9])
{
    double slopes[9], carried[9];

    uncertainty_of_fit(correction, lab, covariance);
    light_slopes(correction, lab, slopes);
    linear_carry_3x3(slopes, light, carried);
    for (int k = 0; k < 9; k++)
        covariance[k] += carried[k];
}

void correction_covariance(const struct correction *correction, struct point at, struct lab lab,
                           double covariance[9])
{
    double light[9];

    light_covariance(&correction->light, at, light);
    fit_and_light(correction, lab, light, covariance);
}

void correction_covariance_on_paper(const struct correction *correction, struct lab lab,
                                    double covariance[9])
{
    double light[9];

    light_paper_covariance(&correction->light, light);
    fit_and_light(correction, lab, light, covariance);
}

bool correction_supports(const struct correction *correction, struct lab lab)
{
    return gamut_distance(correction->patches, correction->count, lab) <= SUPPORT_MARGIN;
}
