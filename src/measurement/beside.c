#include "beside.h"

#include "values/linear.h"

#include <math.h>

#define TERMS 3
#define NEAR_REACH 1.1 /* of a cell's side: right beside the cell */
#define FAR_REACH 3.0  /* enough samples for their chance to average out */
#define NEAR_MIN 3
#define NEAR_WEIGHT 0.02
#define SLOPE_RIDGE 0.02 /* keeps the slope at nothing where all samples lie to one side */
#define ROUNDS 3
#define OFF_SCALE 0.02 /* relative: samples farther off the others lose their weight */
#define SURE 4.0       /* standard errors by which what is near must differ from what is far */

/* A fit that is straight in position. */
struct fit {
    double value[TERMS * 3]; /* at the place, and the slopes */
    double variance;         /* of a sample about it, relative, in the mean of its channels */
    double share;            /* of that, the variance of the value at the place */
    int samples;
};

struct sums {
    double normal[TERMS * TERMS];
    double right[TERMS * 3];
    double squares;
    double weight;
};

static void add_sample(double weight, const double terms[TERMS], const struct rgb *rgb,
                       struct sums *sums)
{
    for (int i = 0; i < TERMS; i++) {
        for (int j = 0; j < TERMS; j++)
            sums->normal[TERMS * i + j] += weight * terms[i] * terms[j];
        for (int k = 0; k < 3; k++)
            sums->right[3 * i + k] += weight * terms[i] * rgb->channel[k];
    }
    sums->weight += weight;
}

/* How far one sample lies off the fit, relative, in each channel. */
static void off_fit(const struct fit *fit, const double terms[TERMS], const struct rgb *rgb,
                    double off[3])
{
    for (int k = 0; k < 3; k++) {
        const double *value = fit->value + k;
        double here = value[0] + value[3] * terms[1] + value[6] * terms[2];

        off[k] = rgb->channel[k] / fmax(here, 1e-6) - 1;
    }
}

static double worst_of(const double off[3])
{
    return fmax(fmax(fabs(off[0]), fabs(off[1])), fabs(off[2]));
}

static void solve(const struct sums *sums, struct fit *fit)
{
    double normal[TERMS * TERMS], inverse[TERMS * TERMS];

    for (int i = 0; i < TERMS * TERMS; i++)
        normal[i] = sums->normal[i] + (i == 4 || i == 8 ? SLOPE_RIDGE : 0);
    linear_invert_3x3(normal, inverse);
    for (int i = 0; i < TERMS; i++)
        for (int k = 0; k < 3; k++) {
            fit->value[3 * i + k] = 0;
            for (int j = 0; j < TERMS; j++)
                fit->value[3 * i + k] += inverse[TERMS * i + j] * sums->right[3 * j + k];
        }
    fit->share = inverse[0];
    fit->variance = sums->squares / fmax(sums->weight, 1e-9);
}

/* One weighted fit; after the first round, `fit` holds the last one's values on entry. */
static void fit_once(const struct paper *paper, const struct rgb *rgb, struct point at,
                     double reach_px, bool first, struct fit *fit)
{
    struct sums sums = {{0}, {0}, 0, 0};

    fit->samples = 0;
    for (size_t i = 0; i < paper->count; i++) {
        double dx = (paper->samples[i].at.x - at.x) / reach_px;
        double dy = (paper->samples[i].at.y - at.y) / reach_px;
        double weight = exp(-(dx * dx + dy * dy));
        const double terms[TERMS] = {1, dx, dy};
        double off[3] = {0, 0, 0};

        if (weight < NEAR_WEIGHT)
            continue;
        fit->samples++;
        if (!first) {
            off_fit(fit, terms, &rgb[i], off);
            weight /= 1 + pow(worst_of(off) / OFF_SCALE, 2);
        }
        sums.squares += weight * (off[0] * off[0] + off[1] * off[1] + off[2] * off[2]) / 3;
        add_sample(weight, terms, &rgb[i], &sums);
    }
    solve(&sums, fit);
}

static void fit_around(const struct paper *paper, const struct rgb *rgb, struct point at,
                       double reach_px, struct fit *fit)
{
    for (int round = 0; round < ROUNDS; round++)
        fit_once(paper, rgb, at, reach_px, round == 0, fit);
}

static bool differs(const struct fit *near, const struct fit *far)
{
    double error = SURE * sqrt(far->variance * (near->share + far->share));
    double off[3];

    for (int k = 0; k < 3; k++)
        off[k] = near->value[k] / fmax(far->value[k], 1e-6) - 1;
    return worst_of(off) > error;
}

bool beside_paper(const struct paper *paper, const struct rgb *rgb, struct point at, double side_px,
                  struct rgb *here)
{
    struct fit near, far;
    const struct fit *better;

    fit_around(paper, rgb, at, NEAR_REACH * side_px, &near);
    if (near.samples < NEAR_MIN)
        return false;
    fit_around(paper, rgb, at, FAR_REACH * side_px, &far);
    better = differs(&near, &far) ? &near : &far;
    for (int k = 0; k < 3; k++)
        here->channel[k] = better->value[k];
    return here->channel[0] > 0 && here->channel[1] > 0 && here->channel[2] > 0;
}
