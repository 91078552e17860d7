#include "analysis/reflectance.h"

#include "reflectance_tables.h"
#include "values/linear.h"

#include <math.h>
#include <string.h>

#define D50_KELVIN 5003.0 /* 5000 K on the radiation constants in use when D50 was laid down */
#define UNKNOWNS (REFLECTANCE_BANDS + 3)
#define STEPS_MAX 60
#define STEP_MAX                                                                                   \
    1.5 /* of the inverse hyperbolic tangent, to keep Newton's method from overshooting */
#define XYZ_MET 1e-9
#define DRAWN_IN 0.95 /* how much of its distance from grey a colour out of reach keeps, a try */
#define TRIES_MAX 60

/* --- the observer --------------------------------------------------------------------------- */

/* Daylight of a colour temperature. Source: CIE 15. */
static void daylight(double kelvin, double power[REFLECTANCE_BANDS])
{
    double x =
        0.244063 + 0.09911e3 / kelvin + 2.9678e6 / pow(kelvin, 2) - 4.6070e9 / pow(kelvin, 3);
    double y = -3.000 * x * x + 2.870 * x - 0.275;
    double divisor = 0.0241 + 0.2562 * x - 0.7341 * y;
    double first = (-1.3515 - 1.7703 * x + 5.9114 * y) / divisor;
    double second = (0.0300 - 31.4424 * x + 30.0717 * y) / divisor;

    for (int i = 0; i < REFLECTANCE_BANDS; i++)
        power[i] = reflectance_daylight[0][i] + first * reflectance_daylight[1][i] +
                   second * reflectance_daylight[2][i];
}

struct reflectance_observer reflectance_observer_d50(void)
{
    const struct xyz white = colour_white();
    const double wanted[3] = {white.X, white.Y, white.Z};
    struct reflectance_observer observer;
    double power[REFLECTANCE_BANDS];

    daylight(D50_KELVIN, power);
    for (int k = 0; k < 3; k++) {
        double sum = 0;

        for (int i = 0; i < REFLECTANCE_BANDS; i++)
            sum += observer.weight[k][i] = power[i] * reflectance_matching[k][i];
        for (int i = 0; i < REFLECTANCE_BANDS; i++)
            observer.weight[k][i] *= wanted[k] / sum;
    }
    return observer;
}

static void integrate(const struct reflectance_observer *observer,
                      const struct reflectance *reflectance, double xyz[3])
{
    for (int k = 0; k < 3; k++) {
        xyz[k] = 0;
        for (int i = 0; i < REFLECTANCE_BANDS; i++)
            xyz[k] += observer->weight[k][i] * reflectance->band[i];
    }
}

struct lab reflectance_lab(const struct reflectance_observer *observer,
                           const struct reflectance *reflectance)
{
    double xyz[3];

    integrate(observer, reflectance, xyz);
    return colour_lab_from_xyz((struct xyz){xyz[0], xyz[1], xyz[2]});
}

/* --- the smoothest reflectance of a colour -------------------------------------------------- */

/*
 * The reflectance is (1 + tanh z) / 2 in each band. Where the slopes of z are
 * least under the three conditions that it has the wanted XYZ, the gradient of
 * the slopes and those of the conditions, times a multiplier each, cancel: 39
 * equations, solved by Newton's method.
 */
struct smoothing {
    const struct reflectance_observer *observer;
    double wanted[3];
    double unknown[UNKNOWNS]; /* z, then the multipliers */
    double jacobian[UNKNOWNS * UNKNOWNS];
    double residual[UNKNOWNS];
};

static struct reflectance reflectance_from(const double *z)
{
    struct reflectance reflectance;

    for (int i = 0; i < REFLECTANCE_BANDS; i++)
        reflectance.band[i] = (1 + tanh(z[i])) / 2;
    return reflectance;
}

static void add_slopes(struct smoothing *smoothing)
{
    for (int i = 0; i + 1 < REFLECTANCE_BANDS; i++) {
        double slope = 2 * (smoothing->unknown[i + 1] - smoothing->unknown[i]);

        smoothing->residual[i + 1] += slope;
        smoothing->residual[i] -= slope;
        smoothing->jacobian[i * UNKNOWNS + i] += 2;
        smoothing->jacobian[(i + 1) * UNKNOWNS + i + 1] += 2;
        smoothing->jacobian[i * UNKNOWNS + i + 1] -= 2;
        smoothing->jacobian[(i + 1) * UNKNOWNS + i] -= 2;
    }
}

static void add_conditions(struct smoothing *smoothing)
{
    const double *multiplier = smoothing->unknown + REFLECTANCE_BANDS;
    struct reflectance reflectance = reflectance_from(smoothing->unknown);

    integrate(smoothing->observer, &reflectance, smoothing->residual + REFLECTANCE_BANDS);
    for (int k = 0; k < 3; k++)
        smoothing->residual[REFLECTANCE_BANDS + k] -= smoothing->wanted[k];
    for (int i = 0; i < REFLECTANCE_BANDS; i++) {
        double steepness = 2 * reflectance.band[i] * (1 - reflectance.band[i]);
        double bend = -2 * steepness * tanh(smoothing->unknown[i]);

        for (int k = 0; k < 3; k++) {
            double weight = smoothing->observer->weight[k][i];
            int condition = REFLECTANCE_BANDS + k;

            smoothing->residual[i] += multiplier[k] * weight * steepness;
            smoothing->jacobian[i * UNKNOWNS + i] += multiplier[k] * weight * bend;
            smoothing->jacobian[i * UNKNOWNS + condition] = weight * steepness;
            smoothing->jacobian[condition * UNKNOWNS + i] = weight * steepness;
        }
    }
}

static double largest(const double *values, int count)
{
    double most = 0;

    for (int i = 0; i < count; i++)
        most = fmax(most, fabs(values[i]));
    return most;
}

static enum status take_step(struct smoothing *smoothing, struct error *error)
{
    enum status status = linear_solve(smoothing->jacobian, smoothing->residual, UNKNOWNS, error);
    double step, damping;

    if (status)
        return status;
    step = largest(smoothing->residual, REFLECTANCE_BANDS);
    damping = step > STEP_MAX ? STEP_MAX / step : 1;
    for (int i = 0; i < UNKNOWNS; i++)
        smoothing->unknown[i] -= damping * smoothing->residual[i];
    return STATUS_OK;
}

/* STATUS_NOT_FOUND where Newton's method does not settle: no reflectance has the colour. */
static enum status smooth(struct smoothing *smoothing, struct error *error)
{
    enum status status = STATUS_OK;
    double grey = fmin(fmax(smoothing->wanted[1], 0.002), 0.995);

    memset(smoothing->unknown, 0, sizeof smoothing->unknown);
    for (int i = 0; i < REFLECTANCE_BANDS; i++)
        smoothing->unknown[i] = atanh(2 * grey - 1);
    for (int step = 0; !status && step < STEPS_MAX; step++) {
        memset(smoothing->jacobian, 0, sizeof smoothing->jacobian);
        memset(smoothing->residual, 0, sizeof smoothing->residual);
        add_slopes(smoothing);
        add_conditions(smoothing);
        if (largest(smoothing->residual, UNKNOWNS) < XYZ_MET)
            return STATUS_OK;
        status = take_step(smoothing, error);
    }
    return status ? status
                  : error_set(error, STATUS_NOT_FOUND, "no reflectance has the colour asked for");
}

enum status reflectance_estimate(const struct reflectance_observer *observer, struct lab lab,
                                 struct reflectance *reflectance, struct error *error)
{
    const struct lab grey = {50, 0, 0};
    enum status status = STATUS_NOT_FOUND;
    struct smoothing smoothing = {.observer = observer};

    for (int try = 0; status == STATUS_NOT_FOUND && try < TRIES_MAX; try++) {
        struct xyz xyz = colour_xyz_from_lab(lab);

        smoothing.wanted[0] = xyz.X;
        smoothing.wanted[1] = xyz.Y;
        smoothing.wanted[2] = xyz.Z;
        status = smooth(&smoothing, error);
        lab.L = grey.L + DRAWN_IN * (lab.L - grey.L);
        lab.a *= DRAWN_IN;
        lab.b *= DRAWN_IN;
    }
    *reflectance = reflectance_from(smoothing.unknown);
    return status == STATUS_NOT_FOUND ? STATUS_OK : status;
}
