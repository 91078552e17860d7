#include "colour_blend.h"

#include <math.h>
#include <stdbool.h>
#include <string.h>

/* The forms that are blended; the learnt one first, which any card has patches enough for. */
static const struct candidate {
    enum colour_form form;
    double ridge;
    int patches_min;
} candidates[] = {
    {COLOUR_LEARNT, 0, COLOUR_PATCHES_MIN},
    {COLOUR_MATRIX, 0, COLOUR_PATCHES_MIN},
    {COLOUR_MATRIX_OFFSET, 0, 14},
    {COLOUR_ROOT_2, 300, 14},
    {COLOUR_ROOT_2, 100, 16},
    {COLOUR_ROOT_2, 30, 16},
    {COLOUR_ROOT_2, 3, 18},
    {COLOUR_ROOT_3, 100, 20},
    {COLOUR_ROOT_3, 30, 20},
};

#define CANDIDATES (int)(sizeof candidates / sizeof *candidates)
#define LEARNT 0

/* What chance does to the difference of two leave-one-out errors, delta E 2000: with twenty-odd
 * patches that miss by half a delta E or so. */
#define CHANCE 0.07

/* By so much the learnt model's error may be larger and still be worth as much: it errs less on
 * inks even where others fit the card's pigments a little better. But where it errs by more than
 * the second on the card itself, the light is too unlike those it was learnt in. From rendered
 * photos. */
#define LEARNT_AHEAD 0.3
#define LEARNT_TRUSTED 0.9

#define PATCHES_KEPT 0.5 /* the weight from which a patch counts as one */

struct trial {
    bool fitted;
    struct colour_model model;
    struct colour_check check;
    double share;
};

static int patches_kept(const struct colour_patch *patches, int count)
{
    int kept = 0;

    for (int i = 0; i < count; i++)
        kept += patches[i].weight > PATCHES_KEPT;
    return kept;
}

static enum status try_all(const struct colour_patch *patches, int count,
                           const struct colour_model *start, struct trial trials[CANDIDATES],
                           struct error *error)
{
    int kept = patches_kept(patches, count);
    enum status status = STATUS_OK;

    for (int i = 0; !status && i < CANDIDATES; i++) {
        struct trial *trial = &trials[i];

        *trial = (struct trial){.model = *start};
        trial->model.form = candidates[i].form;
        trial->model.ridge = candidates[i].ridge;
        if (kept < candidates[i].patches_min && i != LEARNT)
            continue;
        status = colour_fit(patches, count, &trial->model, &trial->check, error);
        trial->fitted = !status;
    }
    return status;
}

/* Shares of all but the learnt one, by their errors: by Bayes' rule if these were evidence. Their
 * mean error; INFINITY if there are none. */
static double share_out(struct trial trials[CANDIDATES])
{
    double least = INFINITY, sum = 0, mean = 0;

    for (int i = LEARNT + 1; i < CANDIDATES; i++)
        if (trials[i].fitted)
            least = fmin(least, trials[i].check.left_out_mean);
    if (isinf(least))
        return INFINITY;
    for (int i = LEARNT + 1; i < CANDIDATES; i++) {
        if (trials[i].fitted)
            trials[i].share = exp((least - trials[i].check.left_out_mean) / CHANCE);
        sum += trials[i].share;
    }
    for (int i = LEARNT + 1; i < CANDIDATES; i++) {
        trials[i].share /= sum;
        mean += trials[i].share * trials[i].check.left_out_mean;
    }
    return mean;
}

static double logistic(double evidence)
{
    return 1 / (1 + exp(-evidence));
}

static void find_shares(struct trial trials[CANDIDATES])
{
    double others = share_out(trials), learnt = trials[LEARNT].check.left_out_mean;

    trials[LEARNT].share = 1;
    if (isfinite(others))
        trials[LEARNT].share = logistic((others + LEARNT_AHEAD - learnt) / CHANCE) *
                               logistic((LEARNT_TRUSTED - learnt) / CHANCE);
    for (int i = LEARNT + 1; i < CANDIDATES; i++)
        trials[i].share *= 1 - trials[LEARNT].share;
}

/* Errors of patches left out are blended as the colours are: they are small. */
static void add_left_out(const struct trial *trial, int count, struct colour_check *check)
{
    for (int i = 0; i < count; i++) {
        check->left_out[i].L += trial->share * trial->check.left_out[i].L;
        check->left_out[i].a += trial->share * trial->check.left_out[i].a;
        check->left_out[i].b += trial->share * trial->check.left_out[i].b;
    }
}

static void blend(const struct trial trials[CANDIDATES], int count, struct colour_model *model,
                  struct colour_check *check)
{
    const struct trial *most = &trials[LEARNT];

    model->form = COLOUR_BLEND;
    memset(model->coefficient, 0, sizeof model->coefficient);
    memset(check, 0, sizeof *check);
    for (int i = 0; i < CANDIDATES; i++) {
        if (!trials[i].fitted)
            continue;
        colour_model_blend(&trials[i].model, trials[i].share, model);
        add_left_out(&trials[i], count, check);
        if (trials[i].share > most->share)
            most = &trials[i];
    }
    model->mostly = most->model.form;
}

enum status colour_blend_fit(const struct colour_patch *patches, int count,
                             struct colour_model *model, struct colour_check *check,
                             struct error *error)
{
    struct trial trials[CANDIDATES];
    enum status status = try_all(patches, count, model, trials, error);

    if (status)
        return status;
    find_shares(trials);
    blend(trials, count, model, check);
    colour_fit_check(patches, count, model, check);
    return STATUS_OK;
}
