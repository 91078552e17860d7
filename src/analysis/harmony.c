#include "harmony.h"

#include "values/angle.h"

#include <math.h>

#define RADIANS_PER_DEGREE (ANGLE_PI / 180)
#define GREY_CHROMA 12.0     /* a colour of this chroma has half its hue's say */
#define GREY_SIMILARITY 0.75 /* of a grey to a colour, whatever its hue */

/* The terms go by the names of the paper. */
static double chromatic_term(struct lab a, struct lab b)
{
    double dC = colour_chroma(a) - colour_chroma(b);
    double squared = (a.a - b.a) * (a.a - b.a) + (a.b - b.b) * (a.b - b.b);
    double dH = sqrt(fmax(squared - dC * dC, 0));

    return 0.04 + 0.53 * tanh(0.8 - 0.045 * hypot(dH, dC / 1.46));
}

static double lightness_term(struct lab a, struct lab b)
{
    double sum = 0.28 + 0.54 * tanh(-3.88 + 0.029 * (a.L + b.L));
    double difference = 0.14 + 0.15 * tanh(-2 + 0.2 * fabs(a.L - b.L));

    return sum + difference;
}

/* From memory; not checked against a second source. A test asks of it what the paper says of hues.
 */
static double hue_term(struct lab lab)
{
    double h = colour_hue_degrees(lab);
    double chroma = 0.5 + 0.5 * tanh(-2 + 0.5 * colour_chroma(lab));
    double hue = -0.08 - 0.14 * sin((h + 50) * RADIANS_PER_DEGREE) -
                 0.07 * sin((2 * h + 90) * RADIANS_PER_DEGREE);
    double away = (90 - h) / 10;
    double yellow = (0.22 * lab.L - 12.8) / 10 * exp(away - exp(away));

    return chroma * (hue + yellow);
}

double harmony_of_pair(struct lab a, struct lab b)
{
    return chromatic_term(a, b) + lightness_term(a, b) + hue_term(a) + hue_term(b);
}

/* How much the hue of a colour has to say, 0 for a grey to 1. */
static double hue_say(double chroma)
{
    return chroma * chroma / (chroma * chroma + GREY_CHROMA * GREY_CHROMA);
}

double harmony_hue_similarity(struct lab a, struct lab b)
{
    double say = hue_say(fmin(colour_chroma(a), colour_chroma(b)));
    double grey = GREY_SIMILARITY +
                  (1 - GREY_SIMILARITY) * (1 - hue_say(fmax(colour_chroma(a), colour_chroma(b))));
    double turn = (colour_hue_degrees(a) - colour_hue_degrees(b)) * RADIANS_PER_DEGREE;

    return say * (1 + cos(turn)) / 2 + (1 - say) * grey;
}
