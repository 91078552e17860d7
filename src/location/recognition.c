#include "recognition.h"

#include "values/linear.h"

#include <math.h>
#include <string.h>

#define TERMS 4 /* cube roots of red, green, blue, and one */
/* Powers of linear light that might be like lightness: a third is for light as it is, the others
 * for cameras whose curve is much harder or softer. */
#define ROOTS 4
static const double roots[ROOTS] = {1.0 / 3, 0.6, 1.0, 1.8};
/* Of the least misfit before patches are weighed: a root beyond it does not come out ahead. */
#define RIVAL 1.15

#define ROUNDS 4
#define MISFIT_SCALE 8.0 /* delta E past which a patch's weight falls */
#define MISFIT_CAP 25.0
#define RIDGE 1e-4

static void equations(const struct rgb *rgb_linear, const struct card *card, double root,
                      double *design, double *target)
{
    for (int i = 0; i < card->shape.patches; i++) {
        const struct lab *lab = &card->patch[i];
        const double labs[3] = {lab->L, lab->a, lab->b};

        for (int k = 0; k < 3; k++)
            design[TERMS * i + k] = pow(fmax(rgb_linear[i].channel[k], 0.0), root);
        design[TERMS * i + 3] = 1;
        memcpy(target + 3 * i, labs, sizeof labs);
    }
}

static void misfits(const struct linear_problem *problem, const double *solution, double *off)
{
    for (size_t i = 0; i < problem->rows; i++) {
        double sum = 0;

        for (size_t k = 0; k < 3; k++) {
            double difference = -problem->target[3 * i + k];

            for (size_t j = 0; j < TERMS; j++)
                difference += problem->design[TERMS * i + j] * solution[3 * j + k];
            sum += difference * difference;
        }
        off[i] = sqrt(sum);
    }
}

/* The mean misfit; a patch that does not fit at all counts no more than MISFIT_CAP. */
static double mean_of_known(const double *off, const bool *known, int patches)
{
    double sum = 0;
    int count = 0;

    for (int i = 0; i < patches; i++)
        if (known[i]) {
            sum += fmin(off[i], MISFIT_CAP);
            count++;
        }
    return count ? sum / count : RECOGNITION_NO_FIT;
}

/* A fit with one root, and the rounds that weigh its patches anew. */
struct trial {
    double design[CARD_PATCHES_MAX * TERMS], target[CARD_PATCHES_MAX * 3];
    double weight[CARD_PATCHES_MAX];
    struct recognition fit;
};

static void fit_once(const bool *known, int patches, struct trial *trial)
{
    const double ridge[TERMS] = {RIDGE, RIDGE, RIDGE, RIDGE};
    const struct linear_problem problem = {
        trial->design, trial->target, trial->weight, ridge, (size_t)patches, TERMS, 3};
    double solution[TERMS * 3];
    struct error ignored;

    trial->fit.misfit = RECOGNITION_NO_FIT;
    if (linear_least_squares(&problem, solution, &ignored))
        return;
    misfits(&problem, solution, trial->fit.off);
    trial->fit.misfit = mean_of_known(trial->fit.off, known, patches);
}

static void weigh(const bool *known, int patches, struct trial *trial)
{
    for (int i = 0; i < patches; i++) {
        double relative = trial->fit.off[i] / MISFIT_SCALE;

        trial->weight[i] = known[i] / (1 + relative * relative);
    }
}

static void begin(const struct rgb *rgb_linear, const bool *known, const struct card *card,
                  double root, struct trial *trial)
{
    equations(rgb_linear, card, root, trial->design, trial->target);
    for (int i = 0; i < card->shape.patches; i++)
        trial->weight[i] = known[i];
    fit_once(known, card->shape.patches, trial);
}

/* Roots that fit far worse than another at first are left there. */
struct recognition recognition_fit(const struct rgb *rgb_linear, const bool *known,
                                   const struct card *card)
{
    struct trial trials[ROOTS];
    const int patches = card->shape.patches;
    double least = INFINITY;
    struct recognition best = {.misfit = INFINITY};

    for (int i = 0; i < ROOTS; i++) {
        begin(rgb_linear, known, card, roots[i], &trials[i]);
        least = fmin(least, trials[i].fit.misfit);
    }
    for (int i = 0; i < ROOTS; i++) {
        bool rivals = trials[i].fit.misfit < RIVAL * least;

        for (int round = 1; rivals && round < ROUNDS && trials[i].fit.misfit < RECOGNITION_NO_FIT;
             round++) {
            weigh(known, patches, &trials[i]);
            fit_once(known, patches, &trials[i]);
        }
        best = trials[i].fit.misfit < best.misfit ? trials[i].fit : best;
    }
    for (int i = 0; i < patches; i++)
        best.off[i] = known[i] ? best.off[i] : RECOGNITION_NO_FIT;
    return best;
}
