#include "values/colour.h"

#include "values/angle.h"

#include <lcms2.h>

#include <math.h>

#define METRIC_STEP 0.05

#define SRGB_STEP (0.5 / 255) /* what a display of 8 bits rounds away */

struct xyz colour_white(void)
{
    const cmsCIEXYZ *white = cmsD50_XYZ();

    return (struct xyz){white->X, white->Y, white->Z};
}

struct lab colour_lab_from_xyz(struct xyz xyz)
{
    cmsCIEXYZ in = {xyz.X, xyz.Y, xyz.Z};
    cmsCIELab out;

    cmsXYZ2Lab(NULL, &out, &in);
    return (struct lab){out.L, out.a, out.b};
}

struct xyz colour_xyz_from_lab(struct lab lab)
{
    cmsCIELab in = {lab.L, lab.a, lab.b};
    cmsCIEXYZ out;

    cmsLab2XYZ(NULL, &out, &in);
    return (struct xyz){out.X, out.Y, out.Z};
}

double colour_delta_e_2000(struct lab a, struct lab b)
{
    cmsCIELab first = {a.L, a.a, a.b};
    cmsCIELab second = {b.L, b.a, b.b};

    return cmsCIE2000DeltaE(&first, &second, 1.0, 1.0, 1.0);
}

double colour_chroma(struct lab lab)
{
    return hypot(lab.a, lab.b);
}

double colour_hue_degrees(struct lab lab)
{
    double degrees = atan2(lab.b, lab.a) * ANGLE_DEGREES;

    return degrees < 0 ? degrees + 360.0 : degrees;
}

static double squared_length(struct lab at, double dL, double da, double db)
{
    struct lab before = {at.L - dL / 2, at.a - da / 2, at.b - db / 2};
    struct lab after = {at.L + dL / 2, at.a + da / 2, at.b + db / 2};
    double distance = colour_delta_e_2000(before, after);

    return distance * distance;
}

void colour_metric(struct lab at, double metric[9])
{
    const double h = METRIC_STEP;

    for (int i = 0; i < 3; i++)
        metric[4 * i] =
            squared_length(at, i == 0 ? h : 0, i == 1 ? h : 0, i == 2 ? h : 0) / (h * h);
    for (int i = 0; i < 3; i++) {
        int j = (i + 1) % 3;
        double sum = squared_length(at, i != 1 ? h : 0, i != 2 ? h : 0, i != 0 ? h : 0) / (h * h);
        double mixed = (sum - metric[4 * i] - metric[4 * j]) / 2;

        metric[3 * i + j] = metric[3 * j + i] = mixed;
    }
}

/* sRGB as the profile gives it, below 0 and above 1 where it can't show the colour. */
static void srgb_unbounded(const struct lab *labs, int count, struct rgb *srgb)
{
    cmsHPROFILE from = cmsCreateLab4Profile(NULL);
    cmsHPROFILE to = cmsCreate_sRGBProfile();
    cmsHTRANSFORM transform = cmsCreateTransform(from, TYPE_Lab_DBL, to, TYPE_RGB_DBL,
                                                 INTENT_RELATIVE_COLORIMETRIC, cmsFLAGS_NOCACHE);

    for (int i = 0; i < count; i++) {
        cmsCIELab in = {labs[i].L, labs[i].a, labs[i].b};

        srgb[i] = (struct rgb){{0, 0, 0}};
        if (transform)
            cmsDoTransform(transform, &in, srgb[i].channel, 1);
    }
    if (transform)
        cmsDeleteTransform(transform);
    cmsCloseProfile(to);
    cmsCloseProfile(from);
}

/* Clip a colour in place; false: it was outside. */
static bool clip(struct rgb *srgb)
{
    bool shown = true;

    for (int k = 0; k < 3; k++) {
        shown = shown && srgb->channel[k] > -SRGB_STEP && srgb->channel[k] < 1 + SRGB_STEP;
        srgb->channel[k] = fmin(fmax(srgb->channel[k], 0.0), 1.0);
    }
    return shown;
}

void colour_srgb_from_lab(const struct lab *labs, int count, struct rgb *srgb)
{
    srgb_unbounded(labs, count, srgb);
    for (int i = 0; i < count; i++)
        clip(&srgb[i]);
}

void colour_on_screen(const struct lab *labs, int count, struct screen_colour *on_screen)
{
    enum { AT_ONCE = 256 };
    struct rgb srgb[AT_ONCE];

    for (int from = 0; from < count; from += AT_ONCE) {
        int part = count - from < AT_ONCE ? count - from : AT_ONCE;

        srgb_unbounded(labs + from, part, srgb);
        for (int i = 0; i < part; i++) {
            on_screen[from + i].shown = clip(&srgb[i]);
            on_screen[from + i].srgb = srgb[i];
        }
    }
}

bool colour_srgb_shows(struct lab lab)
{
    struct rgb srgb;

    srgb_unbounded(&lab, 1, &srgb);
    return clip(&srgb);
}
