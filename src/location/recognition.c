#include "recognition.h"

#include "values/linear.h"

#include <math.h>
#include <string.h>

#define TERMS 4 /* cube roots of red, green, blue, and one */
/* Powers of linear light that might be like lightness: a third is for light as it is, the others
 * for cameras whose curve is much harder or softer. */
static const double roots[] = {1.0 / 3, 0.6, 1.0, 1.8};

#define ROUNDS 4
#define MISFIT_SCALE 8.0 /* delta E past which a patch's weight falls */
#define MISFIT_CAP 25.0
#define NO_FIT 1000.0
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
    return count ? sum / count : NO_FIT;
}

static struct recognition fit_with_root(const struct rgb *rgb_linear, const bool *known,
                                        const struct card *card, double root)
{
    double design[CARD_PATCHES_MAX * TERMS], target[CARD_PATCHES_MAX * 3], solution[TERMS * 3];
    double weight[CARD_PATCHES_MAX];
    const int patches = card->shape.patches;
    const double ridge[TERMS] = {RIDGE, RIDGE, RIDGE, RIDGE};
    struct linear_problem problem = {design, target, weight, ridge, (size_t)patches, TERMS, 3};
    struct recognition result = {.misfit = NO_FIT};
    struct error ignored;

    equations(rgb_linear, card, root, design, target);
    for (int i = 0; i < patches; i++)
        weight[i] = known[i];
    for (int round = 0; round < ROUNDS; round++) {
        if (linear_least_squares(&problem, solution, &ignored))
            return result;
        misfits(&problem, solution, result.off);
        for (int i = 0; i < patches; i++) {
            double relative = result.off[i] / MISFIT_SCALE;

            weight[i] = known[i] / (1 + relative * relative);
        }
    }
    result.misfit = mean_of_known(result.off, known, patches);
    for (int i = 0; i < patches; i++)
        result.off[i] = known[i] ? result.off[i] : NO_FIT;
    return result;
}

struct recognition recognition_fit(const struct rgb *rgb_linear, const bool *known,
                                   const struct card *card)
{
    struct recognition best = {.misfit = INFINITY};

    for (size_t i = 0; i < sizeof roots / sizeof *roots; i++) {
        struct recognition fit = fit_with_root(rgb_linear, known, card, roots[i]);

        best = fit.misfit < best.misfit ? fit : best;
    }
    return best;
}
