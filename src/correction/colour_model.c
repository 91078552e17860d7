#include "correction/colour_model.h"

#include "values/linear.h"

#include <math.h>
#include <string.h>

#define ROOT_TERMS 13
#define INVERSE_STEPS 6

const char *colour_model_name(const struct colour_model *model)
{
    static const char *const names[COLOUR_BLEND] = {"matrix", "matrix with offset",
                                                    "root-polynomial 2", "root-polynomial 3",
                                                    "root-polynomial 3, learnt"};

    return names[model->form == COLOUR_BLEND ? model->mostly : model->form];
}

/* --- terms --- */

int colour_model_terms(enum colour_form form)
{
    static const int counts[COLOUR_FORMS] = {3, 4, 6, ROOT_TERMS, ROOT_TERMS, COLOUR_TERMS_MAX};

    return counts[form];
}

/* The term that is 1 for every colour; -1 for none. */
static int constant_term(enum colour_form form)
{
    return form == COLOUR_MATRIX_OFFSET ? 3 : form == COLOUR_BLEND ? ROOT_TERMS : -1;
}

/* The other terms: each a root of a product of channels. Past the third, the mean of its parts is
 * taken off, so that it vanishes on greys. */
static const struct power {
    int count;
    int parts[3];
} powers[ROOT_TERMS] = {
    {1, {0}},       {1, {1}},       {1, {2}},       {2, {0, 1}},    {2, {1, 2}},
    {2, {2, 0}},    {3, {0, 1, 1}}, {3, {0, 2, 2}}, {3, {1, 0, 0}}, {3, {1, 2, 2}},
    {3, {2, 0, 0}}, {3, {2, 1, 1}}, {3, {0, 1, 2}},
};

static double square_root_term(const double *c, const int *parts)
{
    return sqrt(c[parts[0]] * c[parts[1]]) - (c[parts[0]] + c[parts[1]]) / 2;
}

static double cube_root_term(const double *c, const double *root, const int *parts)
{
    return root[parts[0]] * root[parts[1]] * root[parts[2]] -
           (c[parts[0]] + c[parts[1]] + c[parts[2]]) / 3;
}

void colour_model_evaluate(const struct colour_model *model, struct rgb scene_linear, double *terms)
{
    double root[3];

    for (int k = 0; k < 3; k++)
        terms[k] = fmax(scene_linear.channel[k] / model->scale[k], 0);
    if (constant_term(model->form) >= 0)
        terms[constant_term(model->form)] = 1;
    if (colour_model_terms(model->form) >= 6)
        for (int term = 3; term < 6; term++)
            terms[term] = square_root_term(terms, powers[term].parts);
    if (colour_model_terms(model->form) < ROOT_TERMS)
        return;
    for (int k = 0; k < 3; k++)
        root[k] = cbrt(terms[k]);
    for (int term = 6; term < ROOT_TERMS; term++)
        terms[term] = cube_root_term(terms, root, powers[term].parts);
}

struct xyz colour_model_sum(const struct colour_model *model, const double *terms)
{
    double sum[3] = {0, 0, 0};

    for (int i = 0; i < colour_model_terms(model->form); i++)
        for (int k = 0; k < 3; k++)
            sum[k] += terms[i] * model->coefficient[i][k];
    return (struct xyz){sum[0], sum[1], sum[2]};
}

void colour_model_blend(const struct colour_model *model, double share, struct colour_model *blend)
{
    for (int i = 0; i < colour_model_terms(model->form); i++) {
        int term = i == constant_term(model->form) ? ROOT_TERMS : i;

        for (int k = 0; k < 3; k++)
            blend->coefficient[term][k] += share * model->coefficient[i][k];
    }
}

struct lab colour_model_lab(const struct colour_model *model, struct rgb scene_linear)
{
    double terms[COLOUR_TERMS_MAX];

    colour_model_evaluate(model, scene_linear, terms);
    return colour_lab_from_xyz(colour_model_sum(model, terms));
}

static void add_power(struct colour_expansion *expansion, const int *parts, int count,
                      const double *coefficient)
{
    double *exponent = expansion->exponent[expansion->terms];

    for (int i = 0; i < count; i++)
        exponent[parts[i]] += 1.0 / count;
    for (int k = 0; k < 3; k++) {
        expansion->coefficient[expansion->terms][k] += coefficient[k];
        for (int i = 0; i < count && expansion->terms >= 3; i++)
            expansion->coefficient[parts[i]][k] -= coefficient[k] / count;
    }
    expansion->terms++;
}

/* The same terms as terms_of, in its order. */
struct colour_expansion colour_model_expand(const struct colour_model *model)
{
    struct colour_expansion expansion = {0};
    int constant = constant_term(model->form);
    int roots = constant < 0 ? colour_model_terms(model->form) : constant;

    for (int term = 0; term < roots; term++)
        add_power(&expansion, powers[term].parts, powers[term].count, model->coefficient[term]);
    if (constant >= 0)
        memcpy(expansion.offset, model->coefficient[constant], sizeof expansion.offset);
    return expansion;
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

static struct rgb scaled(const struct colour_model *model, const double camera[3])
{
    return (struct rgb){
        {camera[0] * model->scale[0], camera[1] * model->scale[1], camera[2] * model->scale[2]}};
}

static struct xyz xyz_at(const struct colour_model *model, const double camera[3])
{
    double terms[COLOUR_TERMS_MAX];

    colour_model_evaluate(model, scaled(model, camera), terms);
    return colour_model_sum(model, terms);
}

/* How XYZ moves with each camera value, by differences. */
static void slopes_at(const struct colour_model *model, const double camera[3], struct xyz here,
                      double slopes[9])
{
    for (int k = 0; k < 3; k++) {
        double moved[3] = {camera[0], camera[1], camera[2]};
        double step = 1e-5 + 1e-3 * camera[k];
        struct xyz there;

        moved[k] += step;
        there = xyz_at(model, moved);
        slopes[k] = (there.X - here.X) / step;
        slopes[3 + k] = (there.Y - here.Y) / step;
        slopes[6 + k] = (there.Z - here.Z) / step;
    }
}

struct rgb colour_model_inverse(const struct colour_model *model, struct lab lab)
{
    struct xyz wanted = colour_xyz_from_lab(lab);
    double camera[3] = {wanted.Y, wanted.Y, wanted.Y};

    for (int i = 0; i < INVERSE_STEPS; i++) {
        struct xyz here = xyz_at(model, camera);
        double missing[3] = {wanted.X - here.X, wanted.Y - here.Y, wanted.Z - here.Z};
        double slopes[9], inverse[9], move[3];

        slopes_at(model, camera, here, slopes);
        linear_invert_3x3(slopes, inverse);
        linear_apply_3x3(inverse, missing, move);
        for (int k = 0; k < 3; k++)
            camera[k] = fmax(camera[k] + move[k], 1e-5);
    }
    return scaled(model, camera);
}
