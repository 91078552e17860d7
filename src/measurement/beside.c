#include "measurement/beside.h"

#include "values/linear.h"

#include <math.h>

#define TERMS 3
#define NEAR_MIN 3
#define NEAR_WEIGHT 0.02
#define SLOPE_RIDGE 0.02 /* keeps the slope at nothing where all samples lie to one side */
#define ROUNDS 3
#define OFF_SCALE 0.02 /* relative: samples farther off the others lose their weight */

struct sums {
    double normal[TERMS * TERMS];
    double right[TERMS * 3];
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
}

/* How far one sample lies off the fit, relative, in its worst channel. */
static double off_fit(const double fit[TERMS * 3], const double terms[TERMS], const struct rgb *rgb)
{
    double worst = 0;

    for (int k = 0; k < 3; k++) {
        double value = fit[k] + fit[3 + k] * terms[1] + fit[6 + k] * terms[2];

        worst = fmax(worst, fabs(rgb->channel[k] / fmax(value, 1e-6) - 1));
    }
    return worst;
}

/* One weighted fit; `fit` holds the last one's values on entry after the first round. */
static int fit_once(const struct paper *paper, const struct rgb *rgb, struct point at,
                    double reach_px, bool first, double fit[TERMS * 3])
{
    struct sums sums = {{0}, {0}};
    double inverse[TERMS * TERMS];
    int near = 0;

    for (size_t i = 0; i < paper->count; i++) {
        double dx = (paper->samples[i].at.x - at.x) / reach_px;
        double dy = (paper->samples[i].at.y - at.y) / reach_px;
        double weight = exp(-(dx * dx + dy * dy));
        const double terms[TERMS] = {1, dx, dy};

        if (weight < NEAR_WEIGHT)
            continue;
        near++;
        if (!first) {
            double off = off_fit(fit, terms, &rgb[i]) / OFF_SCALE;

            weight /= 1 + off * off;
        }
        add_sample(weight, terms, &rgb[i], &sums);
    }
    sums.normal[4] += SLOPE_RIDGE;
    sums.normal[8] += SLOPE_RIDGE;
    linear_invert_3x3(sums.normal, inverse);
    for (int i = 0; i < TERMS; i++)
        for (int k = 0; k < 3; k++) {
            fit[3 * i + k] = 0;
            for (int j = 0; j < TERMS; j++)
                fit[3 * i + k] += inverse[TERMS * i + j] * sums.right[3 * j + k];
        }
    return near;
}

bool beside_paper(const struct paper *paper, const struct rgb *rgb, struct point at,
                  double reach_px, struct rgb *here)
{
    double fit[TERMS * 3];
    int near = 0;

    for (int round = 0; round < ROUNDS; round++) {
        near = fit_once(paper, rgb, at, reach_px, round == 0, fit);
        if (near < NEAR_MIN)
            return false;
    }
    for (int k = 0; k < 3; k++)
        here->channel[k] = fit[k];
    return here->channel[0] > 0 && here->channel[1] > 0 && here->channel[2] > 0;
}
