#include "tone.h"

#include "values/linear.h"

#include <math.h>
#include <string.h>

#define CHANNELS 3
#define UNKNOWNS_MAX (TONE_TERMS_MAX + CHANNELS - 1)
#define ROWS_MAX (CHANNELS * TONE_NEUTRALS_MAX)
#define SUM_OF_LIGHTNESS 116.0 /* one step of a cube root in L* */

/* A shape must lower the leave-one-out error below this share to be taken over a simpler one. */
#define WORTH_MORE 0.85

/* A neutral is bad if the others miss by more than this in L*, and without it by a small share. */
#define BAD_MIN 0.7
#define BAD_SHARE 0.4

#define SLOPE_MIN 0.05 /* of the curve between cube roots, anywhere */
/* The polynomial goes on this far above the white patch, as a part of the neutrals' span: paper
 * in stronger light than the card's lies there, where a camera's curve bends most. */
#define HIGHLIGHTS 0.2

struct shape {
    int degree;
    bool shared;
};

struct cube_roots {
    int count;
    double seen[CHANNELS][TONE_NEUTRALS_MAX];
    double wanted[CHANNELS][TONE_NEUTRALS_MAX];
    double weight[TONE_NEUTRALS_MAX];
};

static struct tone_curve straight(double factor)
{
    return (struct tone_curve){{0, factor, 0, 0}, 0, 1};
}

struct tone tone_identity(void)
{
    return (struct tone){0, true, {straight(1), straight(1), straight(1)}};
}

static double polynomial(const double *coefficient, double x)
{
    return coefficient[0] + x * (coefficient[1] + x * (coefficient[2] + x * coefficient[3]));
}

static double slope(const double *coefficient, double x)
{
    return coefficient[1] + x * (2 * coefficient[2] + x * 3 * coefficient[3]);
}

static double curve_at(const struct tone_curve *curve, double root)
{
    double inside = fmin(fmax(root, curve->low), curve->high);

    return polynomial(curve->coefficient, inside) +
           slope(curve->coefficient, inside) * (root - inside);
}

double tone_undo(const struct tone *tone, int channel, double linear)
{
    double root = curve_at(&tone->channel[channel], cbrt(linear));

    return root * root * root;
}

struct rgb tone_undo_rgb(const struct tone *tone, struct rgb rgb_linear)
{
    struct rgb undone;

    for (int k = 0; k < CHANNELS; k++)
        undone.channel[k] = tone_undo(tone, k, rgb_linear.channel[k]);
    return undone;
}

/* --- fitting --- */

static int first_term(int degree)
{
    return degree > 0 ? 0 : 1;
}

static int term_count(int degree)
{
    return degree > 0 ? degree + 1 : 1;
}

/*
 * Fit channels `from` to `to` with one polynomial: p(seen) = gain * wanted,
 * the gain of the middle channel of them held at 1 and the others unknown, all
 * linear.
 */
static enum status fit_channels(const struct cube_roots *roots, int degree, int from, int to,
                                struct tone *tone, struct error *error)
{
    double design[ROWS_MAX * UNKNOWNS_MAX] = {0}, target[ROWS_MAX], weight[ROWS_MAX];
    double solution[UNKNOWNS_MAX];
    int terms = term_count(degree), held = (from + to) / 2;
    int columns = terms + to - from;
    struct linear_problem problem = {design, target, weight, NULL, 0, (size_t)columns, 1};
    enum status status;

    for (int k = from; k <= to; k++)
        for (int i = 0; i < roots->count; i++) {
            double *row = design + problem.rows * problem.columns;

            for (int j = 0; j < terms; j++)
                row[j] = pow(roots->seen[k][i], first_term(degree) + j);
            if (k != held)
                row[terms + k - from - (k > held)] = -roots->wanted[k][i];
            target[problem.rows] = k == held ? roots->wanted[k][i] : 0;
            weight[problem.rows++] = roots->weight[i];
        }
    status = linear_least_squares(&problem, solution, error);
    for (int k = from; !status && k <= to; k++) {
        memset(&tone->channel[k], 0, sizeof tone->channel[k]);
        memcpy(tone->channel[k].coefficient + first_term(degree), solution,
               (size_t)terms * sizeof *solution);
    }
    return status;
}

static void set_span(const struct cube_roots *roots, struct tone *tone)
{
    for (int k = 0; k < CHANNELS; k++) {
        tone->channel[k].low = roots->seen[k][0];
        tone->channel[k].high = roots->seen[k][0];
        for (int i = 1; i < roots->count; i++) {
            tone->channel[k].low = fmin(tone->channel[k].low, roots->seen[k][i]);
            tone->channel[k].high = fmax(tone->channel[k].high, roots->seen[k][i]);
        }
        tone->channel[k].high += HIGHLIGHTS * (tone->channel[k].high - tone->channel[k].low);
    }
}

static enum status fit_shape(const struct cube_roots *roots, struct shape shape, struct tone *tone,
                             struct error *error)
{
    enum status status = STATUS_OK;

    *tone = tone_identity();
    tone->degree = shape.degree;
    tone->shared = shape.shared;
    if (shape.shared)
        return fit_channels(roots, shape.degree, 0, CHANNELS - 1, tone, error);
    for (int k = 0; !status && k < CHANNELS; k++)
        status = fit_channels(roots, shape.degree, k, k, tone, error);
    return status;
}

static bool rises(const struct tone *tone)
{
    for (int k = 0; k < CHANNELS; k++) {
        const struct tone_curve *curve = &tone->channel[k];

        for (int i = 0; i <= 16; i++)
            if (!(slope(curve->coefficient, curve->low + i * (curve->high - curve->low) / 16) >
                  SLOPE_MIN))
                return false;
    }
    return true;
}

/* How far, in L*, a curve misses a neutral, the channels' free gains taken out. */
static double miss(const struct cube_roots *roots, const struct tone *tone, int neutral)
{
    double sum = 0;

    for (int k = 0; k < CHANNELS; k++) {
        double fitted = 0, squares = 0, error;

        for (int i = 0; i < roots->count; i++) {
            double weight = i == neutral ? 0 : roots->weight[i];

            fitted += weight * curve_at(&tone->channel[k], roots->seen[k][i]) * roots->wanted[k][i];
            squares += weight * roots->wanted[k][i] * roots->wanted[k][i];
        }
        error = curve_at(&tone->channel[k], roots->seen[k][neutral]) * squares / fitted -
                roots->wanted[k][neutral];
        sum += error * error;
    }
    return SUM_OF_LIGHTNESS * sqrt(sum / CHANNELS);
}

/* Leave each neutral out in turn: the typical miss in L*, INFINITY where a shape can't be fitted
 * or does not rise. */
static double leave_one_out(const struct cube_roots *roots, struct shape shape)
{
    struct cube_roots rest = *roots;
    struct error ignored;
    struct tone tone;
    double sum = 0;
    int kept = 0;

    for (int i = 0; i < roots->count; i++) {
        double error;

        if (!(roots->weight[i] > 0))
            continue;
        rest.weight[i] = 0;
        if (fit_shape(&rest, shape, &tone, &ignored))
            return INFINITY;
        set_span(roots, &tone);
        if (!rises(&tone))
            return INFINITY;
        rest.weight[i] = roots->weight[i];
        error = miss(roots, &tone, i);
        sum += error * error;
        kept++;
    }
    return sqrt(sum / kept);
}

static struct shape choose_shape(const struct cube_roots *roots, double *error)
{
    static const struct shape shapes[] = {{0, true},  {1, true},  {2, true}, {3, true},
                                          {1, false}, {2, false}, {3, false}};
    struct shape best = shapes[0];
    int kept = 0;

    for (int i = 0; i < roots->count; i++)
        kept += roots->weight[i] > 0;
    *error = leave_one_out(roots, best);
    for (size_t s = 1; s < sizeof shapes / sizeof *shapes; s++) {
        bool enough = shapes[s].degree + (shapes[s].shared ? 1 : 2) < kept;
        double trial = enough ? leave_one_out(roots, shapes[s]) : INFINITY;

        if (trial < WORTH_MORE * *error) {
            *error = trial;
            best = shapes[s];
        }
    }
    return best;
}

/*
 * Look for one neutral without which the others agree far better: it is dirty
 * or lies in glare, and counts no more.
 */
static struct shape choose_without_worst(struct cube_roots *roots)
{
    struct shape best;
    double least, with_all;
    int worst = -1;

    best = choose_shape(roots, &with_all);
    least = BAD_SHARE * with_all;
    for (int i = 0; with_all > BAD_MIN && roots->count > 4 && i < roots->count; i++) {
        double error;
        struct shape shape;

        roots->weight[i] = 0;
        shape = choose_shape(roots, &error);
        roots->weight[i] = 1;
        if (error < least) {
            least = error;
            best = shape;
            worst = i;
        }
    }
    if (worst >= 0)
        roots->weight[worst] = 0;
    return best;
}

static struct cube_roots take_roots(const struct tone_neutral *neutrals, int count)
{
    struct cube_roots roots = {.count = count};

    for (int i = 0; i < count; i++) {
        roots.weight[i] = 1;
        for (int k = 0; k < CHANNELS; k++) {
            roots.seen[k][i] = cbrt(neutrals[i].rgb_linear.channel[k]);
            roots.wanted[k][i] = cbrt(neutrals[i].scene_linear.channel[k]);
        }
    }
    return roots;
}

enum status tone_fit_straight(const struct tone_neutral *neutrals, int count, struct tone *tone,
                              struct error *error)
{
    struct cube_roots roots = take_roots(neutrals, count);

    *tone = tone_identity();
    return count < 3 ? STATUS_OK : fit_shape(&roots, (struct shape){0, true}, tone, error);
}

enum status tone_fit(const struct tone_neutral *neutrals, int count, struct tone *tone,
                     struct error *error)
{
    struct cube_roots roots = take_roots(neutrals, count);
    struct shape shape;
    enum status status;

    *tone = tone_identity();
    if (count < 3)
        return STATUS_OK;
    shape = choose_without_worst(&roots);
    status = fit_shape(&roots, shape, tone, error);
    set_span(&roots, tone);
    return status;
}
