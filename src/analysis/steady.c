#include "analysis/steady.h"

#include "analysis/perceptual.h"
#include "values/linear.h"

#include <math.h>

#define REACH 25.0 /* delta E 2000: how far a control's error is like that of another colour */
#define FAR 0.05   /* what a control of quite another colour counts for */
#define REMAINING_MIN 0.02

/* The controls, and the photos of the swatch they are to steady. */
struct steadying {
    const struct observation *readings;
    size_t count;
    const struct observation *controls;
    size_t control_count;
};

static const struct observation *in_photo(const struct observation *run, size_t length,
                                          int64_t photo)
{
    for (size_t i = 0; i < length; i++)
        if (run[i].photo == photo)
            return &run[i];
    return NULL;
}

/* Whether a control is seen in every photo; its mean over them. */
static bool control_mean(const struct steadying *steadying, const struct observation *run,
                         size_t length, struct lab *mean)
{
    *mean = (struct lab){0, 0, 0};
    for (size_t i = 0; i < steadying->count; i++) {
        const struct observation *seen = in_photo(run, length, steadying->readings[i].photo);

        if (!seen)
            return false;
        mean->L += seen->lab.L / (double)steadying->count;
        mean->a += seen->lab.a / (double)steadying->count;
        mean->b += seen->lab.b / (double)steadying->count;
    }
    return true;
}

/*
 * The shift of one photo as the controls show it near a colour, leaving out
 * the control `omitted` (none: NULL); returns how many it rests on.
 */
static int shift_of(const struct steadying *steadying, int64_t photo, struct lab near,
                    const struct observation *omitted, double shift[3])
{
    double weights = 0;
    int used = 0;

    shift[0] = shift[1] = shift[2] = 0;
    for (size_t i = 0, length; i < steadying->control_count; i += length) {
        const struct observation *run = steadying->controls + i;
        const struct observation *seen;
        struct lab mean;
        double weight;

        length = observation_run(run, steadying->control_count - i);
        if (run == omitted || !control_mean(steadying, run, length, &mean))
            continue;
        seen = in_photo(run, length, photo);
        weight = exp(-pow(colour_delta_e_2000(mean, near) / REACH, 2)) + FAR;
        shift[0] += weight * (seen->lab.L - mean.L);
        shift[1] += weight * (seen->lab.a - mean.a);
        shift[2] += weight * (seen->lab.b - mean.b);
        weights += weight;
        used++;
    }
    for (int k = 0; k < 3 && used; k++)
        shift[k] /= weights;
    return used;
}

static double trace_seen(const double frame[9], const double covariance[9])
{
    double carried[9];

    linear_carry_3x3(frame, covariance, carried);
    return carried[0] + carried[4] + carried[8];
}

/* Squares that a control shows against the others, and what its own and the shared error explain.
 */
struct squares {
    double seen, own, shared;
};

static void add_control(const struct steadying *steadying, const struct observation *run,
                        size_t length, struct squares *squares)
{
    double frame[9], shift[3], step[3];
    double lost = 1 - 1 / (double)steadying->count; /* the mean over the photos is fitted */
    struct lab mean;

    if (!control_mean(steadying, run, length, &mean))
        return;
    perceptual_frame(mean, frame);
    for (size_t i = 0; i < steadying->count; i++) {
        const struct observation *seen = in_photo(run, length, steadying->readings[i].photo);

        shift_of(steadying, seen->photo, mean, run, shift);
        linear_apply_3x3(frame,
                         (double[3]){seen->lab.L - mean.L - shift[0],
                                     seen->lab.a - mean.a - shift[1],
                                     seen->lab.b - mean.b - shift[2]},
                         step);
        squares->seen += step[0] * step[0] + step[1] * step[1] + step[2] * step[2];
        squares->own += lost * trace_seen(frame, seen->covariance_own);
        squares->shared += lost * trace_seen(frame, seen->covariance_shared);
    }
}

/* How much of the shared error the shift leaves, told by predicting each control from the others.
 */
static double remaining(const struct steadying *steadying, int controls)
{
    struct squares squares = {0, 0, 0};

    if (controls < 2)
        return controls ? STEADY_REMAINING_OF_ONE : 1;
    for (size_t i = 0, length; i < steadying->control_count; i += length) {
        length = observation_run(steadying->controls + i, steadying->control_count - i);
        add_control(steadying, steadying->controls + i, length, &squares);
    }
    if (!(squares.shared > 0))
        return 1;
    return fmin(fmax((squares.seen - squares.own) / squares.shared, REMAINING_MIN), 1);
}

struct steady steady_take_off(struct observation *readings, size_t count,
                              const struct observation *controls, size_t control_count)
{
    const struct steadying steadying = {readings, count, controls, control_count};
    struct steady steady = {0, 1};
    double shift[3];

    if (count < 2)
        return steady;
    steady.controls = shift_of(&steadying, readings[0].photo, readings[0].lab, NULL, shift);
    steady.remaining = remaining(&steadying, steady.controls);
    for (size_t i = 0; i < count; i++) {
        struct lab *lab = &readings[i].lab;

        shift_of(&steadying, readings[i].photo, *lab, NULL, shift);
        *lab = (struct lab){lab->L - shift[0], lab->a - shift[1], lab->b - shift[2]};
        for (int j = 0; j < 9; j++)
            readings[i].covariance_shared[j] *= steady.remaining;
    }
    return steady;
}
