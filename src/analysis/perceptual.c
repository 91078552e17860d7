#include "analysis/perceptual.h"

#include <math.h>

#define SMALLEST 1e-6

void perceptual_frame(struct lab at, double frame[9])
{
    double metric[9], chroma = colour_chroma(at);
    double cosine = chroma > 0 ? at.a / chroma : 1, sine = chroma > 0 ? at.b / chroma : 0;
    double aa, ab, bb, along, across, mixed;

    colour_metric(at, metric);
    aa = metric[4], ab = metric[5], bb = metric[8];
    /* the metric in steps of chroma and hue, then its triangular root */
    along = sqrt(fmax(aa * cosine * cosine + 2 * ab * cosine * sine + bb * sine * sine, SMALLEST));
    mixed = ((bb - aa) * cosine * sine + ab * (cosine * cosine - sine * sine)) / along;
    across = aa * sine * sine - 2 * ab * cosine * sine + bb * cosine * cosine - mixed * mixed;
    across = sqrt(fmax(across, SMALLEST));
    frame[0] = sqrt(fmax(metric[0], SMALLEST));
    frame[1] = frame[2] = frame[3] = frame[6] = 0;
    frame[4] = along * cosine - mixed * sine;
    frame[5] = along * sine + mixed * cosine;
    frame[7] = -across * sine;
    frame[8] = across * cosine;
}

struct lab perceptual_middle(struct lab a, struct lab b)
{
    return (struct lab){(a.L + b.L) / 2, (a.a + b.a) / 2, (a.b + b.b) / 2};
}
