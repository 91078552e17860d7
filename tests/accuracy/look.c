#include "accuracy/look.h"

#include "values/linear.h"

#include <math.h>

#define PI 3.14159265358979323846
#define GREY 0.18     /* luminance that local tone mapping leaves alone */
#define OWN_SHARE 0.5 /* of a surface's own luminance in its surroundings */

/* --- drawing one --- */

static void draw_twist(struct random *random, double amount, double twist[2 * LOOK_ORDERS])
{
    for (int i = 0; i < 2 * LOOK_ORDERS; i++)
        twist[i] = amount / (1 + i / 2) * random_normal(random);
}

static double log_uniform(struct random *random, double low, double high)
{
    return exp(random_uniform(random, log(low), log(high)));
}

struct look look_draw(struct random *random, double strength)
{
    struct look look = {
        .gamma = 1 + 0.12 * strength * random_normal(random),
        .contrast = fmin(strength * random_uniform(random, -0.05, 0.45), 0.7),
        .shoulder = strength * random_uniform(random, 0, 1.5),
        .on_luminance = random_uniform(random, 0, 1),
        .saturation = 1 + strength * (0.06 + 0.12 * random_normal(random)),
        .vibrance = 0.12 * strength * random_normal(random),
        .colour_by_lightness = 0.15 * strength * random_normal(random),
        .hue_by_lightness = 6 * strength * random_normal(random),
        .squeeze = random_uniform(random, 0, 1) < 0.5 ? 0 : random_uniform(random, 0.02, 0.15),
        .luma_step = log_uniform(random, 0.1, 4),
    };

    look.chroma_step = look.luma_step * random_uniform(random, 1, 1.5);
    draw_twist(random, 9 * strength, look.hue_twist);
    draw_twist(random, 0.13 * strength, look.colour_twist);
    draw_twist(random, 1.5 * strength, look.light_twist);
    return look;
}

/* --- applying it --- */

static double encode(double linear)
{
    return linear <= 0.0031308 ? 12.92 * linear : 1.055 * pow(linear, 1 / 2.4) - 0.055;
}

static double decode(double encoded)
{
    return encoded <= 0.04045 ? encoded / 12.92 : pow((encoded + 0.055) / 1.055, 2.4);
}

/* From scene-linear to the picture's linear: highlights rolled off, then an S-curve. */
static double tone(const struct look *look, double linear)
{
    double v = fmax(linear, 0);
    double rolled = v * (1 + look->shoulder) / (1 + look->shoulder * v);
    double encoded = pow(encode(rolled), look->gamma);

    if (encoded > 0 && encoded < 1)
        encoded -= look->contrast * sin(2 * PI * encoded) / (2 * PI);
    return decode(encoded);
}

static double luminance(struct rgb rgb)
{
    return 0.2126 * rgb.channel[0] + 0.7152 * rgb.channel[1] + 0.0722 * rgb.channel[2];
}

static struct rgb apply_tone(const struct look *look, struct rgb linear)
{
    double level = fmax(luminance(linear), 1e-6), gain = tone(look, level) / level;

    for (int k = 0; k < 3; k++) {
        double ratio = linear.channel[k] * gain;

        linear.channel[k] = look->on_luminance * ratio +
                            (1 - look->on_luminance) *
                                (linear.channel[k] < 0 ? ratio : tone(look, linear.channel[k]));
    }
    return linear;
}

static double series(const double twist[2 * LOOK_ORDERS], double hue)
{
    double sum = 0;

    for (int i = 0; i < LOOK_ORDERS; i++)
        sum += twist[2 * i] * cos((i + 1) * hue) + twist[2 * i + 1] * sin((i + 1) * hue);
    return sum;
}

/* Linear sRGB to D50 XYZ and back. Source: IEC 61966-2-1, Bradford, from memory. */
static const double xyz_from_srgb[9] = {0.4360747, 0.3850649, 0.1430804, 0.2225045, 0.7168786,
                                        0.0606169, 0.0139322, 0.0971045, 0.7141733};
static const double srgb_from_xyz[9] = {3.1338561, -1.6168667, -0.4906146, -0.9787684, 1.9161415,
                                        0.0334540, 0.0719453,  -0.2289914, 1.4052427};

static struct rgb apply_colour(const struct look *look, struct rgb linear)
{
    double xyz[3];
    struct xyz changed;
    struct lab lab;
    double hue, chroma, by_lightness, factor;

    linear_apply_3x3(xyz_from_srgb, linear.channel, xyz);
    lab = colour_lab_from_xyz((struct xyz){xyz[0], xyz[1], xyz[2]});
    hue = atan2(lab.b, lab.a);
    chroma = hypot(lab.a, lab.b);
    by_lightness = (lab.L - 50) / 50;
    factor = look->saturation + look->vibrance * exp(-chroma / 30) +
             look->colour_by_lightness * by_lightness + series(look->colour_twist, hue);
    lab.L += fmin(chroma / 50, 1.5) * series(look->light_twist, hue);
    hue += PI / 180 * (series(look->hue_twist, hue) + look->hue_by_lightness * by_lightness);
    chroma *= fmax(factor, 0.2);
    lab.a = chroma * cos(hue);
    lab.b = chroma * sin(hue);
    changed = colour_xyz_from_lab(lab);
    linear_apply_3x3(srgb_from_xyz, (double[3]){changed.X, changed.Y, changed.Z}, linear.channel);
    return linear;
}

static double squeezed(double value, double part)
{
    double low = part / 4; /* black is to stay near black */

    if (part > 0 && value < low)
        return low * exp(value / low - 1);
    if (part > 0 && value > 1 - part)
        return 1 - part * exp((1 - value) / part - 1);
    return fmin(fmax(value, 0), 1);
}

static double encode_signed(double linear)
{
    return linear < 0 ? -encode(-linear) : encode(linear);
}

/* Flat areas keep but their blocks' means, to steps of luma and chroma.
 * Source of the weights: ITU-T T.871 (JFIF). */
static void round_off(const struct look *look, double encoded[3], struct random *random)
{
    double luma = 0.299 * encoded[0] + 0.587 * encoded[1] + 0.114 * encoded[2];
    double blue = (encoded[2] - luma) / 1.772, red = (encoded[0] - luma) / 1.402;

    luma += look->luma_step / 255 * random_uniform(random, -0.5, 0.5);
    blue += look->chroma_step / 255 * random_uniform(random, -0.5, 0.5);
    red += look->chroma_step / 255 * random_uniform(random, -0.5, 0.5);
    encoded[0] = luma + 1.402 * red;
    encoded[1] = luma - 0.344136 * blue - 0.714136 * red;
    encoded[2] = luma + 1.772 * blue;
}

struct rgb look_apply(const struct look *look, struct rgb linear, double surround,
                      struct random *random)
{
    double around = OWN_SHARE * log(fmax(luminance(linear), 0.01)) +
                    (1 - OWN_SHARE) * log(fmax(surround, 0.01));
    double gain = exp(-look->local * (around - log(GREY)));
    double encoded[3];

    for (int k = 0; k < 3; k++)
        linear.channel[k] *= gain;
    linear = apply_colour(look, apply_tone(look, linear));
    for (int k = 0; k < 3; k++)
        encoded[k] = squeezed(encode_signed(linear.channel[k]), look->squeeze);
    round_off(look, encoded, random);
    for (int k = 0; k < 3; k++)
        linear.channel[k] = decode(fmin(fmax(encoded[k], 0), 1));
    return linear;
}
