#include "uncertainty.h"

#include "gamut.h"
#include "values/linear.h"

#include <math.h>
#include <string.h>

/* Error of the card's own colours against the table, per axis, in delta E 2000 (cards of one make
 * differ by some tenths, and age: common practice, no source), and what is left of it once the
 * fit has averaged over the patches. */
#define CARD_DEVIATION 0.3
#define CARD_PASSED_ON 0.5

/* The fit's error at a colour, relative to the leave-one-out errors near it: these tell of the
 * card's own pigments, and the more colourful, the darker and the further outside the card's
 * colours an ink is, the more its spectrum differs from theirs. Fitted by likelihood to simulated
 * inks, with darkness and chroma a little nearer each other as rendered photos have them. */
#define ERROR_OF_GREYS 0.51
#define ERROR_BY_CHROMA 0.011
#define ERROR_BY_DISTANCE 0.041
#define ERROR_BY_DARKNESS 1.0
#define DARK_FROM_L 60.0

/* Blue inks err more and red ones less: where one band of the spectrum makes the colour, cameras
 * differ most. */
#define PI 3.14159265358979323846
#define HARDEST_HUE_DEGREES 225.0
#define ERROR_BY_HUE 0.28
#define HUE_CHROMA 30.0 /* from here on the hue counts in full */

/* Stray light in the lens and the curve's dark end, as a part of white: it moves dark colours most.
 * From rendered photos. */
#define STRAY_DEVIATION 0.002

/* Reach of a patch's leave-one-out error, in Lab units, and the weight of all patches together. */
#define REACH 30.0
#define SHRINKAGE 1.0

static void add_outer(const double vector[3], double weight, double sum[9])
{
    for (int k = 0; k < 9; k++)
        sum[k] += weight * vector[k / 3] * vector[k % 3];
}

static void whitened_left_out(const struct colour_patch *patch, struct lab missed,
                              double whitened[3])
{
    double whitener[9];

    colour_whitener(patch->lab, whitener);
    linear_apply_3x3(whitener, (double[3]){missed.L, missed.a, missed.b}, whitened);
}

/* How much larger the error at a colour is than the card's own near it. */
static double growth_at(const struct colour_patch *patches, int count, struct lab lab)
{
    double chroma = colour_chroma(lab);
    double from_hardest = (colour_hue_degrees(lab) - HARDEST_HUE_DEGREES) * PI / 180;
    double hue = 1 + ERROR_BY_HUE * cos(from_hardest) * fmin(chroma / HUE_CHROMA, 1);
    double dark = 1 + ERROR_BY_DARKNESS * fmax(DARK_FROM_L - lab.L, 0) / DARK_FROM_L;

    return dark * hue * (ERROR_OF_GREYS + ERROR_BY_CHROMA * chroma) +
           ERROR_BY_DISTANCE * gamut_distance(patches, count, lab);
}

/* Leave-one-out errors near a colour, in delta E 2000 axes; those of far ones count for a share. */
static void errors_near(const struct colour_patch *patches, const struct colour_check *check,
                        int count, struct lab lab, double sum[9])
{
    double weights = 0, growth;

    memset(sum, 0, 9 * sizeof *sum);
    for (int i = 0; i < count; i++) {
        struct lab patch = patches[i].lab;
        double square = (patch.L - lab.L) * (patch.L - lab.L) +
                        (patch.a - lab.a) * (patch.a - lab.a) +
                        (patch.b - lab.b) * (patch.b - lab.b);
        double weight =
            patches[i].weight * (exp(-square / (2 * REACH * REACH)) + SHRINKAGE / count);
        double whitened[3];

        whitened_left_out(&patches[i], check->left_out[i], whitened);
        add_outer(whitened, weight, sum);
        weights += weight;
    }
    growth = growth_at(patches, count, lab);
    for (int k = 0; k < 9; k++)
        sum[k] *= growth * growth / weights;
}

static void add_stray(struct lab lab, double covariance[9])
{
    struct xyz xyz = colour_xyz_from_lab(lab), white = colour_white();
    struct lab lit = colour_lab_from_xyz((struct xyz){xyz.X + STRAY_DEVIATION * white.X,
                                                      xyz.Y + STRAY_DEVIATION * white.Y,
                                                      xyz.Z + STRAY_DEVIATION * white.Z});

    add_outer((double[3]){lit.L - lab.L, lit.a - lab.a, lit.b - lab.b}, 1, covariance);
}

void uncertainty_of_fit(const struct colour_patch *patches, const struct colour_check *check,
                        int count, struct lab lab, double covariance[9])
{
    const double card = CARD_DEVIATION * CARD_PASSED_ON;
    double whitened[9], whitener[9], unwhitener[9];

    errors_near(patches, check, count, lab, whitened);
    for (int k = 0; k < 3; k++)
        whitened[4 * k] += card * card;
    colour_whitener(lab, whitener);
    linear_invert_3x3(whitener, unwhitener);
    linear_carry_3x3(unwhitener, whitened, covariance);
    add_stray(lab, covariance);
}
