#include "correction/colour_model.h"

#include "values/linear.h"

#include <math.h>
#include <string.h>

/* The polynomial's argument, about -1 to 1 for colours of ink; it goes on as a constant where
 * none are, for what was learnt says nothing of those. */
#define MIDDLE_L 50.0
#define SCALE_L 50.0
#define SCALE_AB 60.0
#define FURTHEST 1.8
#define NEAR_GREY 0.15 /* in SCALE_AB: within this, hue says little */

#define UNBEND_STEPS 12
#define LEAST 1e-5

static void over_scale(const struct colour_model *model, struct rgb rgb, double camera[3])
{
    for (int k = 0; k < 3; k++)
        camera[k] = rgb.channel[k] / model->scale[k];
}

struct lab colour_model_straight(const struct colour_model *model, struct rgb scene_linear)
{
    struct xyz white = colour_white();
    double camera[3], xyz[3];

    over_scale(model, scene_linear, camera);
    linear_apply_3x3(model->matrix, camera, xyz);
    return colour_lab_from_xyz((struct xyz){xyz[0] * white.X, xyz[1] * white.Y, xyz[2] * white.Z});
}

static double held(double place)
{
    return fmin(fmax(place, -FURTHEST), FURTHEST);
}

/* What looks do to a hue: chroma times sines of the hue's multiples, smooth through grey. */
static int add_hues(double a, double b, double *terms)
{
    double chroma = sqrt(a * a + b * b + NEAR_GREY * NEAR_GREY);
    double cosine = a / chroma, sine = b / chroma;
    double c[COLOUR_HUES + 1] = {1, cosine}, s[COLOUR_HUES + 1] = {0, sine};
    int count = 0;

    terms[count++] = chroma;
    for (int n = 2; n <= COLOUR_HUES; n++) {
        c[n] = c[n - 1] * cosine - s[n - 1] * sine;
        s[n] = s[n - 1] * cosine + c[n - 1] * sine;
        terms[count++] = chroma * c[n];
        terms[count++] = chroma * s[n];
    }
    return count;
}

void colour_model_terms(struct lab straight, double terms[COLOUR_TERMS])
{
    const double at[3] = {held((straight.L - MIDDLE_L) / SCALE_L), held(straight.a / SCALE_AB),
                          held(straight.b / SCALE_AB)};
    int count = 0;

    terms[count++] = 1;
    for (int i = 0; i < 3; i++) {
        terms[count++] = at[i];
        for (int j = i; j < 3; j++) {
            terms[count++] = at[i] * at[j];
            for (int k = j; k < 3; k++)
                terms[count++] = at[i] * at[j] * at[k];
        }
    }
    add_hues(at[1], at[2], terms + count);
}

struct lab colour_model_bend(const struct colour_model *model, struct lab straight)
{
    double terms[COLOUR_TERMS];

    colour_model_terms(straight, terms);
    for (int i = 0; i < COLOUR_TERMS; i++) {
        straight.L += terms[i] * model->coefficient[i][0];
        straight.a += terms[i] * model->coefficient[i][1];
        straight.b += terms[i] * model->coefficient[i][2];
    }
    return straight;
}

struct lab colour_model_lab(const struct colour_model *model, struct rgb scene_linear)
{
    return colour_model_bend(model, colour_model_straight(model, scene_linear));
}

void colour_whitener(struct lab at, double whitener[9])
{
    double g[9];
    double *w = whitener;

    colour_metric(at, g);
    memset(w, 0, 9 * sizeof *w);
    w[0] = sqrt(g[0]);
    w[1] = g[1] / w[0];
    w[2] = g[2] / w[0];
    w[4] = sqrt(fmax(g[4] - w[1] * w[1], 1e-9));
    w[5] = (g[5] - w[1] * w[2]) / w[4];
    w[8] = sqrt(fmax(g[8] - w[2] * w[2] - w[5] * w[5], 1e-9));
}

/* --- backwards --- */

struct rgb colour_model_straight_inverse(const struct colour_model *model, struct lab lab)
{
    struct xyz white = colour_white(), xyz = colour_xyz_from_lab(lab);
    const double over_white[3] = {xyz.X / white.X, xyz.Y / white.Y, xyz.Z / white.Z};
    double inverse[9], camera[3];
    struct rgb rgb;

    linear_invert_3x3(model->matrix, inverse);
    linear_apply_3x3(inverse, over_white, camera);
    for (int k = 0; k < 3; k++)
        rgb.channel[k] = fmax(camera[k], LEAST) * model->scale[k];
    return rgb;
}

/* By taking off what is still amiss: the polynomial changes but slowly. */
struct lab colour_model_unbend(const struct colour_model *model, struct lab lab)
{
    struct lab straight = lab;

    for (int i = 0; i < UNBEND_STEPS; i++) {
        struct lab bent = colour_model_bend(model, straight);

        straight.L += lab.L - bent.L;
        straight.a += lab.a - bent.a;
        straight.b += lab.b - bent.b;
    }
    return straight;
}

struct rgb colour_model_inverse(const struct colour_model *model, struct lab lab)
{
    return colour_model_straight_inverse(model, colour_model_unbend(model, lab));
}
