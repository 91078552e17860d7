#include "card_light.h"

#include "values/linear.h"

#include <math.h>
#include <string.h>

#define STEP 0.01

/* How Lab moves with the logarithm of each channel (3 x 3), where a patch is. */
static void slopes_at(const struct colour_model *model, struct rgb rgb, double slopes[9])
{
    struct lab here = colour_model_lab(model, rgb);

    for (int k = 0; k < 3; k++) {
        struct rgb brighter = rgb;
        struct lab moved;

        brighter.channel[k] *= 1 + STEP;
        moved = colour_model_lab(model, brighter);
        slopes[k] = (moved.L - here.L) / STEP;
        slopes[3 + k] = (moved.a - here.a) / STEP;
        slopes[6 + k] = (moved.b - here.b) / STEP;
    }
}

/* How far the light at a patch is from what paper and desk tell of it already, in Lab. */
static struct lab moved_by_light(const struct correction *correction, int i)
{
    struct rgb now = light_at(&correction->light, correction->samples[i].at);
    struct rgb before = light_at(&correction->light_beside, correction->samples[i].at);
    double moved[3], lab[3];

    for (int k = 0; k < 3; k++)
        moved[k] = log(now.channel[k] / before.channel[k]);
    linear_apply_3x3(correction->slopes[i], moved, lab);
    return (struct lab){lab[0], lab[1], lab[2]};
}

/* A block of a square matrix of 3 x 3 blocks, `side` of them. */
static void block_take(const double *matrix, size_t side, size_t i, size_t j, double block[9])
{
    for (size_t k = 0; k < 9; k++)
        block[k] = matrix[(3 * i + k / 3) * 3 * side + 3 * j + k % 3];
}

static void block_put(const double block[9], size_t side, size_t i, size_t j, double *matrix)
{
    for (size_t k = 0; k < 9; k++)
        matrix[(3 * i + k / 3) * 3 * side + 3 * j + k % 3] = block[k];
}

static void transpose(const double matrix[9], double transposed[9])
{
    for (int k = 0; k < 9; k++)
        transposed[k] = matrix[3 * (k % 3) + k / 3];
}

/* left * block * right' */
static void carry(const double left[9], const double right[9], double block[9])
{
    double half[9], turned[9];

    linear_multiply_3x3(left, block, half);
    transpose(right, turned);
    linear_multiply_3x3(half, turned, block);
}

void card_light_write(struct correction *correction, double *shared)
{
    size_t count = (size_t)correction->count;

    for (size_t i = 0; i < count; i++) {
        struct colour_patch *patch = &correction->patches[i];

        slopes_at(&correction->colour.model, patch->scene_linear, correction->slopes[i]);
        patch->taken = moved_by_light(correction, (int)i);
    }
    for (size_t i = 0; i < count; i++)
        for (size_t j = 0; j < count; j++) {
            double block[9];

            light_covariance_between(&correction->light_beside, correction->samples[i].at,
                                     correction->samples[j].at, block);
            carry(correction->slopes[i], correction->slopes[j], block);
            block_put(block, count, i, j, shared);
        }
}

enum status card_light_take(struct correction *correction, struct error *error)
{
    const struct colour_pull *pull = &correction->colour.pull;
    struct light_news news = {.count = correction->count, .looseness = pull->looseness};
    size_t count = (size_t)correction->count;

    for (size_t i = 0; i < count; i++) {
        double turned[9];

        transpose(correction->slopes[i], turned);
        linear_apply_3x3(turned, pull->along + 3 * i, news.along + 3 * i);
        news.at[i] = correction->samples[i].at;
        for (size_t j = 0; j < count; j++) {
            double block[9], other[9];

            block_take(pull->precision, count, i, j, block);
            transpose(correction->slopes[j], other);
            carry(turned, other, block);
            block_put(block, count, i, j, news.precision);
        }
    }
    for (size_t i = 0; i < 3 * count; i++)
        news.along[i] = -news.along[i]; /* what is too light lies in more light than was thought */
    correction->light = correction->light_beside;
    return light_hear(&news, &correction->light, error);
}
