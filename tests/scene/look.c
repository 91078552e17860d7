#include "look.h"

#include "basics.h"

#include <math.h>

#include <gsl/gsl_math.h>
#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>
#include <gsl/gsl_spline.h>

static const float luminance_weight[3] = {0.2126f, 0.7152f, 0.0722f};

/*
 * The ranges were fitted to real files: 72 patches in each of four photos of one camera under four
 * lights, its raw values against its own JPEG. The matrix from raw values to the patches' true
 * colours was found first, then the look from there to the JPEG. What those four looks were: the
 * curve at the knots +0.01 to -0.08 or +0.08, up to +0.13, +0.15 and +0.10; on luminance 0.2 to 1;
 * chroma 0.8 to 1.04, dark colours 0.7 to 1.3 of it, light ones 0.87 to 1; by hue 0.66 to 1.22;
 * hues twisted by up to 19 degrees, 9 on average. As a check on the whole, a root-polynomial of the
 * second degree after a tone curve from the greys was fitted to 24 patches and tried on 24 others:
 * from the JPEGs it errs by 3.3 delta E 2000, from the same raw values given looks of these ranges
 * and rounded as hard as those JPEGs by 3.1, without a look by 2.1.
 */
static void draw_tone(struct look *look, gsl_rng *rng)
{
    /* An S, a lift of everything, and a toe: each over the knots. */
    static const double s_shape[TONE_KNOTS] = {-0.096, -0.048, 0.048, 0.096};
    static const double lift_shape[TONE_KNOTS] = {0.64, 0.96, 0.96, 0.64};
    static const double toe_shape[TONE_KNOTS] = {-1.0, -0.5, -0.1, 0.0};
    double contrast = gsl_ran_flat(rng, 0.1, 0.9);
    double lift = gsl_ran_flat(rng, -0.03, 0.12);
    double toe = gsl_ran_flat(rng, 0.0, 0.05);

    for (int i = 0; i < TONE_KNOTS; i++)
        look->knot[i] = contrast * s_shape[i] + lift * lift_shape[i] + toe * toe_shape[i];
    look->gain = gsl_ran_flat(rng, 0.95, 1.1);
    look->on_luminance = gsl_ran_flat(rng, 0.0, 1.0);
}

struct look look_draw(int number)
{
    struct look look = {0};
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);

    gsl_rng_set(rng, 7000u + (unsigned long)number);
    draw_tone(&look, rng);
    look.chroma = gsl_ran_flat(rng, 0.85, 1.2);
    look.chroma_dark = gsl_ran_flat(rng, 0.7, 1.3);
    look.chroma_light = gsl_ran_flat(rng, 0.85, 1.15);
    for (int i = 0; i < LOOK_HUES; i++) {
        look.hue_chroma[i] = gsl_ran_flat(rng, 0.75, 1.25);
        look.twist_degrees[i] = gsl_ran_flat(rng, -16.0, 16.0);
    }
    look.twist_light_degrees = gsl_ran_flat(rng, -2.0, 2.0);
    look.squeeze = gsl_ran_flat(rng, 0.0, 1.0);
    gsl_rng_free(rng);
    return look;
}

static void scale_from_one(double *factor, double part)
{
    *factor = 1.0 + part * (*factor - 1.0);
}

void look_scale(struct look *look, double part)
{
    for (int i = 0; i < TONE_KNOTS; i++)
        look->knot[i] *= part;
    for (int i = 0; i < LOOK_HUES; i++) {
        scale_from_one(&look->hue_chroma[i], part);
        look->twist_degrees[i] *= part;
    }
    scale_from_one(&look->gain, part);
    scale_from_one(&look->chroma, part);
    scale_from_one(&look->chroma_dark, part);
    scale_from_one(&look->chroma_light, part);
    look->twist_light_degrees *= part;
}

/* Source: IEC 61966-2-1. */
static double encode(double linear)
{
    return linear <= 0.0031308 ? 12.92 * linear : 1.055 * pow(linear, 1.0 / 2.4) - 0.055;
}

static double decode(double encoded)
{
    return encoded <= 0.04045 ? encoded / 12.92 : pow((encoded + 0.055) / 1.055, 2.4);
}

void look_prepare(struct prepared_look *prepared, const struct look *look)
{
    double x[TONE_KNOTS + 2] = {0.0}, y[TONE_KNOTS + 2] = {0.0};
    gsl_interp_accel *place = gsl_interp_accel_alloc();
    gsl_spline *spline = gsl_spline_alloc(gsl_interp_steffen, TONE_KNOTS + 2); /* monotone */

    for (int i = 1; i <= TONE_KNOTS; i++) {
        x[i] = (double)i / (TONE_KNOTS + 1);
        y[i] = x[i] + look->knot[i - 1];
    }
    x[TONE_KNOTS + 1] = y[TONE_KNOTS + 1] = 1.0;
    gsl_spline_init(spline, x, y, TONE_KNOTS + 2);
    for (int i = 0; i <= TONE_STEPS + 1; i++) {
        double linear = look->gain * square((double)i / TONE_STEPS);

        prepared->tone[i] =
            (float)decode(gsl_spline_eval(spline, encode(fmin(linear, 1.0)), place));
    }
    prepared->look = *look;
    gsl_spline_free(spline);
    gsl_interp_accel_free(place);
}

/* Below black the curve goes on as it begins. */
static float tone_at(const struct prepared_look *prepared, float linear)
{
    float place = sqrtf(fabsf(linear) > 1.0f ? 1.0f : fabsf(linear)) * TONE_STEPS;
    int low = (int)place;
    float value = prepared->tone[low] +
                  (place - (float)low) * (prepared->tone[low + 1] - prepared->tone[low]);

    return linear < 0.0f ? -value : value;
}

static float luminance(const float rgb_linear[3])
{
    return luminance_weight[0] * rgb_linear[0] + luminance_weight[1] * rgb_linear[1] +
           luminance_weight[2] * rgb_linear[2];
}

static void bend_tone(const struct prepared_look *prepared, float rgb_linear[3])
{
    float share = (float)prepared->look.on_luminance, light = luminance(rgb_linear);
    float factor = light > 1e-5f ? tone_at(prepared, light) / light : 1.0f;

    for (int k = 0; k < 3; k++)
        rgb_linear[k] =
            share * factor * rgb_linear[k] + (1.0f - share) * tone_at(prepared, rgb_linear[k]);
}

/* Source: Ottosson (2020), "A perceptual color space for image processing" (Oklab); from memory. */
static void oklab_from_linear(const float rgb[3], float lab[3])
{
    float l = cbrtf(0.4122214708f * rgb[0] + 0.5363325363f * rgb[1] + 0.0514459929f * rgb[2]);
    float m = cbrtf(0.2119034982f * rgb[0] + 0.6806995451f * rgb[1] + 0.1073969566f * rgb[2]);
    float s = cbrtf(0.0883024619f * rgb[0] + 0.2817188376f * rgb[1] + 0.6299787005f * rgb[2]);

    lab[0] = 0.2104542553f * l + 0.7936177850f * m - 0.0040720468f * s;
    lab[1] = 1.9779984951f * l - 2.4285922050f * m + 0.4505937099f * s;
    lab[2] = 0.0259040371f * l + 0.7827717662f * m - 0.8086757660f * s;
}

static void linear_from_oklab(const float lab[3], float rgb[3])
{
    float l = lab[0] + 0.3963377774f * lab[1] + 0.2158037573f * lab[2];
    float m = lab[0] - 0.1055613458f * lab[1] - 0.0638541728f * lab[2];
    float s = lab[0] - 0.0894841775f * lab[1] - 1.2914855480f * lab[2];

    l = l * l * l;
    m = m * m * m;
    s = s * s * s;
    rgb[0] = 4.0767416621f * l - 3.3077115913f * m + 0.2309699292f * s;
    rgb[1] = -1.2684380046f * l + 2.6097574011f * m - 0.3413193965f * s;
    rgb[2] = -0.0041960863f * l - 0.7034186147f * m + 1.7076147010f * s;
}

/* A value given at the six hues, smooth between them: a raised cosine from one to the next. */
static float at_hue(const double value[LOOK_HUES], float hue_sixths)
{
    int low = (int)hue_sixths % LOOK_HUES;
    float part = hue_sixths - floorf(hue_sixths), share = part * part * (3.0f - 2.0f * part);

    return (1.0f - share) * (float)value[low] + share * (float)value[(low + 1) % LOOK_HUES];
}

static float chroma_factor(const struct look *look, float lightness)
{
    float from_middle = 2.0f * (lightness < 0.0f   ? 0.0f
                                : lightness > 1.0f ? 1.0f
                                                   : lightness) -
                        1.0f;
    double end = from_middle < 0.0f ? look->chroma_dark : look->chroma_light;

    return (float)(look->chroma * (1.0 + (end - 1.0) * fabsf(from_middle)));
}

static void bend_colour(const struct look *look, float rgb_linear[3])
{
    float lab[3], sixths, factor, turn, a, b;

    oklab_from_linear(rgb_linear, lab);
    sixths = atan2f(lab[2], lab[1]) * (float)(LOOK_HUES / (2.0 * M_PI));
    if (sixths < 0.0f)
        sixths += LOOK_HUES;
    factor = chroma_factor(look, lab[0]) * at_hue(look->hue_chroma, sixths);
    turn = at_hue(look->twist_degrees, sixths) +
           (float)look->twist_light_degrees * (2.0f * lab[0] - 1.0f);
    turn *= (float)(M_PI / 180.0);
    a = factor * (cosf(turn) * lab[1] - sinf(turn) * lab[2]);
    b = factor * (sinf(turn) * lab[1] + cosf(turn) * lab[2]);
    lab[1] = a;
    lab[2] = b;
    linear_from_oklab(lab, rgb_linear);
}

void look_bend(const struct prepared_look *prepared, float rgb_linear[3])
{
    bend_tone(prepared, rgb_linear);
    bend_colour(&prepared->look, rgb_linear);
}

static float clipped(float value)
{
    return value < 0.0f ? 0.0f : value > 1.0f ? 1.0f : value;
}

void look_fit(const struct prepared_look *prepared, float rgb_linear[3])
{
    float grey = clipped(luminance(rgb_linear)), room = 1.0f;
    float share = (float)prepared->look.squeeze;

    for (int k = 0; k < 3; k++) {
        float over = rgb_linear[k] - grey;

        if (rgb_linear[k] < 0.0f)
            room = fminf(room, -grey / over);
        else if (rgb_linear[k] > 1.0f)
            room = fminf(room, (1.0f - grey) / over);
    }
    for (int k = 0; k < 3; k++)
        rgb_linear[k] = share * (grey + room * (rgb_linear[k] - grey)) +
                        (1.0f - share) * clipped(rgb_linear[k]);
}
