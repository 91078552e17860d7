#include "uncertainty.h"

#include "gamut.h"
#include "values/linear.h"

#include <math.h>

/* Error of the card's own colours against the table, per axis, in delta E 2000 (cards of one make
 * differ by some tenths, and age: common practice, no source), and what is left of it once the
 * fit has averaged over the patches. */
#define CARD_DEVIATION 0.3
#define CARD_PASSED_ON 0.5

/* Stray light in the lens and the curve's dark end, as a part of white: it moves dark colours most.
 * From rendered photos. */
#define STRAY_DEVIATION 0.002

/* The fit's own doubt, against what simulated inks showed beside the usual card of 24 patches, with
 * looks and without; where another card's patches lie counts in the fit's doubt and in the distance
 * from its colours, but these factors were found with 24: on 24 rendered photos of a card of 30 in
 * even and ordinary light the stated radius held 96 % of colours, as of 95 % beside the usual card.
 * The more colourful and the darker an ink, the more its spectrum differs from the card's pigments;
 * and outside the card's colours the polynomial is less like a camera. */
#define ERROR_OF_GREYS 0.85
#define ERROR_BY_CHROMA 0.007
#define ERROR_BY_DARKNESS 0.7
#define DARK_FROM_L 60.0
#define ERROR_BY_DISTANCE 0.01

static void add_outer(const double vector[3], double weight, double sum[9])
{
    for (int k = 0; k < 9; k++)
        sum[k] += weight * vector[k / 3] * vector[k % 3];
}

static void add_stray(struct lab lab, double covariance[9])
{
    struct xyz xyz = colour_xyz_from_lab(lab), white = colour_white();
    struct lab lit = colour_lab_from_xyz((struct xyz){xyz.X + STRAY_DEVIATION * white.X,
                                                      xyz.Y + STRAY_DEVIATION * white.Y,
                                                      xyz.Z + STRAY_DEVIATION * white.Z});

    add_outer((double[3]){lit.L - lab.L, lit.a - lab.a, lit.b - lab.b}, 1, covariance);
}

static void add_card(struct lab lab, double covariance[9])
{
    const double square = pow(CARD_DEVIATION * CARD_PASSED_ON, 2);
    const double whitened[9] = {square, 0, 0, 0, square, 0, 0, 0, square};
    double whitener[9], unwhitener[9], card[9];

    colour_whitener(lab, whitener);
    linear_invert_3x3(whitener, unwhitener);
    linear_carry_3x3(unwhitener, whitened, card);
    for (int k = 0; k < 9; k++)
        covariance[k] += card[k];
}

/* By how much the error at a colour exceeds the fit's own account of it. */
static double growth_at(const struct correction *correction, struct lab lab)
{
    double dark = 1 + ERROR_BY_DARKNESS * fmax(DARK_FROM_L - lab.L, 0) / DARK_FROM_L;

    return dark * (ERROR_OF_GREYS + ERROR_BY_CHROMA * colour_chroma(lab)) +
           ERROR_BY_DISTANCE * gamut_distance(correction->patches, correction->count, lab);
}

void uncertainty_of_fit(const struct correction *correction, struct lab lab, double covariance[9])
{
    double growth = growth_at(correction, lab);

    colour_fit_covariance(&correction->colour.model, &correction->colour.doubt, lab, covariance);
    for (int k = 0; k < 9; k++)
        covariance[k] *= growth * growth;
    add_card(lab, covariance);
    add_stray(lab, covariance);
}
