#include "colour_fit.h"

#include "base/memory.h"
#include "files/card.h"
#include "values/linear.h"
#include "values/statistics.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define U COLOUR_UNKNOWNS
#define ROWS_MAX (3 * COLOUR_PATCHES_MAX)
#define USUAL_MIN 0.3 /* delta E 2000: errors this small are never called unusual */
#define TUKEY 8.0
#define WEIGHT_MIN 1e-6 /* a patch of less has no part in the fit */

/* How strong a photo's look may be, and how far its surfaces may stray, against the learnt ones';
 * their prior is normal between logarithms. Our own judgement: half to double is common. */
static const double strengths[] = {0.25, 0.5, 0.8, 1.2, 1.8};
static const double strays[] = {0.12, 0.25, 0.5, 0.8, 1.25, 2, 3};
#define STRENGTHS (int)(sizeof strengths / sizeof *strengths)
#define STRAYS (int)(sizeof strays / sizeof *strays)
#define USUAL_STRENGTH 0.8
#define STRENGTH_DEVIATION 0.8
#define STRAY_DEVIATION 0.7

/* --- before the fit --- */

void colour_fit_scale(const struct colour_patch *patches, int count, double scale[3])
{
    struct xyz white = colour_white();
    double wanted[3] = {0, 0, 0}, seen[3] = {0, 0, 0};

    for (int i = 0; i < count; i++) {
        struct xyz xyz = colour_xyz_from_lab(patches[i].lab);
        double parts[3] = {xyz.X / white.X, xyz.Y / white.Y, xyz.Z / white.Z};

        for (int k = 0; k < 3 && patches[i].index >= CARD_FIRST_NEUTRAL; k++) {
            wanted[k] += patches[i].weight * parts[k];
            seen[k] += patches[i].weight * patches[i].scene_linear.channel[k];
        }
    }
    for (int k = 0; k < 3; k++)
        scale[k] = seen[k] / wanted[k];
}

struct colour_model colour_fit_start(bool raw)
{
    struct colour_model model = {.raw = raw, .scale = {1, 1, 1}};

    memcpy(model.matrix, colour_priors[raw ? COLOUR_RAW : COLOUR_PLAIN].matrix,
           sizeof model.matrix);
    return model;
}

/* --- equations --- */

/* The patches' equations in delta E 2000 axes: `wanted` is what the polynomial should make. */
struct equations {
    int count;
    size_t rows;
    double whitener[COLOUR_PATCHES_MAX][9];
    double design[ROWS_MAX * U];
    double wanted[ROWS_MAX];
};

static void write_patch(const struct colour_model *model, const struct colour_patch *patch, int i,
                        struct equations *equations)
{
    struct lab straight = colour_model_straight(model, patch->scene_linear);
    const double off[3] = {patch->lab.L - straight.L, patch->lab.a - straight.a,
                           patch->lab.b - straight.b};
    double terms[COLOUR_TERMS], root = sqrt(patch->weight);
    double *whitener = equations->whitener[i], *wanted = equations->wanted + 3 * i;

    colour_model_terms(straight, terms);
    colour_whitener(patch->lab, whitener);
    linear_apply_3x3(whitener, off, wanted);
    for (int q = 0; q < 3; q++) {
        double *row = equations->design + (3 * i + q) * U;

        wanted[q] *= root;
        for (int j = 0; j < COLOUR_TERMS; j++)
            for (int k = 0; k < 3; k++)
                row[3 * j + k] = root * whitener[3 * q + k] * terms[j];
    }
}

/* --- one world --- */

/* A world's account of the patches. With independent unknowns z, of deviation `strength`, the
 * coefficients are mean + root z; A = design * root takes z to the rows. */
struct account {
    const struct colour_prior *prior;
    double *A;                                /* rows x U */
    double *vectors;                          /* of A A', as columns */
    double value[ROWS_MAX], along[ROWS_MAX];  /* its eigenvalues, and the wanted along vectors */
    double evidence[STRENGTHS][STRAYS];       /* logarithms */
    double pull[ROWS_MAX], certain[ROWS_MAX]; /* sums over the scales: to z, and off its variance */
    double spread, variance;                  /* mean squares of strength and of straying */
    double share;
};

static double deviation_of(const struct account *account, int stray)
{
    return account->prior->deviation * strays[stray];
}

static void make_straight_unknowns(const struct equations *equations, struct account *account,
                                   double *off)
{
    const double *root = account->prior->root;

    memset(account->A, 0, equations->rows * U * sizeof *account->A);
    for (size_t i = 0; i < equations->rows; i++) {
        off[i] = equations->wanted[i];
        for (size_t p = 0; p < U; p++)
            off[i] -= equations->design[i * U + p] * account->prior->mean[p];
    }
    for (size_t p = 0; p < U; p++)
        for (size_t q = 0; q <= p; q++, root++)
            for (size_t i = 0; i < equations->rows; i++)
                account->A[i * U + q] += equations->design[i * U + p] * *root;
}

static enum status decompose(const struct equations *equations, struct account *account,
                             struct error *error)
{
    size_t n = equations->rows;
    double off[ROWS_MAX], gram[ROWS_MAX * ROWS_MAX];
    enum status status;

    make_straight_unknowns(equations, account, off);
    for (size_t i = 0; i < n; i++)
        for (size_t j = 0; j <= i; j++) {
            double sum = 0;

            for (size_t p = 0; p < U; p++)
                sum += account->A[i * U + p] * account->A[j * U + p];
            gram[i * n + j] = gram[j * n + i] = sum;
        }
    status = linear_eigen_symmetric(gram, n, account->value, account->vectors, error);
    for (size_t j = 0; j < n; j++) {
        account->along[j] = 0;
        for (size_t i = 0; i < n; i++)
            account->along[j] += account->vectors[i * n + j] * off[i];
    }
    return status;
}

static double log_normal(double ratio, double deviation)
{
    return -0.5 * pow(log(ratio) / deviation, 2);
}

/* How likely each pair of scales makes the patches. */
static double weigh_scales(size_t rows, struct account *account)
{
    double most = -INFINITY;

    for (int s = 0; s < STRENGTHS; s++)
        for (int t = 0; t < STRAYS; t++) {
            double noise = pow(deviation_of(account, t), 2);
            double sum = log_normal(strengths[s] / USUAL_STRENGTH, STRENGTH_DEVIATION) +
                         log_normal(strays[t], STRAY_DEVIATION);

            for (size_t j = 0; j < rows; j++) {
                double variance = strengths[s] * strengths[s] * account->value[j] + noise;

                sum -= 0.5 * (account->along[j] * account->along[j] / variance + log(variance));
            }
            account->evidence[s][t] = sum;
            most = fmax(most, sum);
        }
    return most;
}

/* Sum up over the scales what each makes of the rows. */
static void average_scales(size_t rows, double most, struct account *account)
{
    for (int s = 0; s < STRENGTHS; s++)
        for (int t = 0; t < STRAYS; t++) {
            double share = exp(account->evidence[s][t] - most);
            double square = strengths[s] * strengths[s];
            double noise = pow(deviation_of(account, t), 2);

            account->share += share;
            account->spread += share * square;
            account->variance += share * noise;
            for (size_t j = 0; j < rows; j++) {
                double part = share * square / (square * account->value[j] + noise);

                account->pull[j] += part;
                account->certain[j] += part * square;
            }
        }
}

static enum status account_create(const struct equations *equations, enum colour_world world,
                                  struct account *account, struct error *error)
{
    memset(account, 0, sizeof *account);
    account->prior = &colour_priors[world];
    account->A = memory_array(equations->rows * (U + equations->rows), sizeof *account->A,
                              "the colour model", error);
    if (!account->A)
        return error->status;
    account->vectors = account->A + equations->rows * U;
    return decompose(equations, account, error);
}

/* --- all worlds together --- */

/* z to coefficients. */
static void through_root(const struct colour_prior *prior, const double z[U], double out[U])
{
    const double *root = prior->root;

    for (size_t p = 0; p < U; p++) {
        out[p] = 0;
        for (size_t q = 0; q <= p; q++)
            out[p] += *root++ * z[q];
    }
}

/* A' times a combination of the vectors. */
static void to_unknowns(const struct account *account, size_t rows, const double *along,
                        double z[U])
{
    memset(z, 0, U * sizeof *z);
    for (size_t i = 0; i < rows; i++) {
        double row = 0;

        for (size_t j = 0; j < rows; j++)
            row += account->vectors[i * rows + j] * along[j];
        for (size_t p = 0; p < U; p++)
            z[p] += account->A[i * U + p] * row;
    }
}

static void add_coefficients(const struct account *account, size_t rows, double total,
                             struct colour_model *model)
{
    double along[ROWS_MAX], z[U], change[U];

    for (size_t j = 0; j < rows; j++)
        along[j] = account->pull[j] * account->along[j] / total;
    to_unknowns(account, rows, along, z);
    through_root(account->prior, z, change);
    for (int p = 0; p < U; p++)
        model->coefficient[p / 3][p % 3] +=
            change[p] + account->share / total * account->prior->mean[p];
}

static void add_covariance(const struct account *account, size_t rows, double total,
                           struct colour_doubt *doubt)
{
    double lines[U][U] = {{0}}; /* in z, then root z on one side */
    double column[U], carried[U];

    for (size_t j = 0; j < rows; j++) {
        double along[ROWS_MAX] = {0}, z[U];

        along[j] = 1;
        to_unknowns(account, rows, along, z);
        for (size_t p = 0; p < U; p++)
            for (size_t q = 0; q < U; q++)
                lines[p][q] -= account->certain[j] / total * z[p] * z[q];
    }
    for (size_t p = 0; p < U; p++)
        lines[p][p] += account->spread / total;
    for (size_t p = 0; p < U; p++) {
        through_root(account->prior, lines[p], carried);
        memcpy(lines[p], carried, sizeof carried);
    }
    for (size_t q = 0; q < U; q++) {
        for (size_t p = 0; p < U; p++)
            column[p] = lines[p][q];
        through_root(account->prior, column, carried);
        for (size_t p = 0; p < U; p++)
            doubt->covariance[p * U + q] += carried[p];
    }
}

/* --- leaving one out --- */

static double size_at(struct lab lab, struct lab off)
{
    return colour_delta_e_2000(lab, (struct lab){lab.L + off.L, lab.a + off.a, lab.b + off.b});
}

static void likeliest_scales(const struct account *account, double *square, double *noise)
{
    int s = 0, t = 0;

    for (int i = 0; i < STRENGTHS * STRAYS; i++)
        if (account->evidence[i / STRAYS][i % STRAYS] > account->evidence[s][t]) {
            s = i / STRAYS;
            t = i % STRAYS;
        }
    *square = strengths[s] * strengths[s];
    *noise = pow(deviation_of(account, t), 2);
}

/* What a fit without the patch would miss it by: from the inverse C of the rows' covariance, of
 * which `own` is the patch's block, it is inverse(own) times the patch's rows of C * wanted. */
static struct lab miss_left_out(const struct equations *equations, const struct account *account,
                                int patch, double root_weight)
{
    size_t n = equations->rows;
    const double *rows = account->vectors + 3 * (size_t)patch * n;
    double own[9] = {0}, pulled[3] = {0}, inverse[9], unwhitener[9], missed[3], lab[3];
    double square, noise;

    likeliest_scales(account, &square, &noise);
    for (size_t j = 0; j < n; j++) {
        double certainty = 1 / (square * account->value[j] + noise);

        for (size_t q = 0; q < 3; q++) {
            pulled[q] += rows[q * n + j] * certainty * account->along[j];
            for (size_t r = 0; r < 3; r++)
                own[3 * q + r] += rows[q * n + j] * certainty * rows[r * n + j];
        }
    }
    linear_invert_3x3(own, inverse);
    linear_apply_3x3(inverse, pulled, missed);
    linear_invert_3x3(equations->whitener[patch], unwhitener);
    linear_apply_3x3(unwhitener, missed, lab);
    return (struct lab){-lab[0] / root_weight, -lab[1] / root_weight, -lab[2] / root_weight};
}

static void check_patches(const struct colour_patch *patches, const struct equations *equations,
                          const struct account *likeliest, const struct colour_model *model,
                          struct colour_check *check)
{
    double sum = 0, weights = 0;

    for (int i = 0; i < equations->count; i++) {
        struct lab truth = patches[i].lab, lab = colour_model_lab(model, patches[i].scene_linear);

        check->residual[i] = (struct lab){lab.L - truth.L, lab.a - truth.a, lab.b - truth.b};
        check->left_out[i] = patches[i].weight > WEIGHT_MIN
                                 ? miss_left_out(equations, likeliest, i, sqrt(patches[i].weight))
                                 : check->residual[i];
        sum += patches[i].weight * size_at(truth, check->left_out[i]);
        weights += patches[i].weight;
    }
    check->left_out_mean = sum / weights;
}

/* --- the fit --- */

static void put_together(struct account *accounts, int worlds, size_t rows,
                         struct colour_model *model, struct colour_doubt *doubt)
{
    double most = -INFINITY, total = 0;

    for (int i = 0; i < worlds; i++)
        most = fmax(most, weigh_scales(rows, &accounts[i]));
    for (int i = 0; i < worlds; i++) {
        average_scales(rows, most, &accounts[i]);
        total += accounts[i].share;
    }
    memset(model->coefficient, 0, sizeof model->coefficient);
    memset(doubt, 0, sizeof *doubt);
    for (int i = 0; i < worlds; i++) {
        double variance = accounts[i].variance / total;

        add_coefficients(&accounts[i], rows, total, model);
        add_covariance(&accounts[i], rows, total, doubt);
        doubt->deviation = sqrt(doubt->deviation * doubt->deviation + variance);
        doubt->strength += accounts[i].spread / total;
    }
    doubt->strength = sqrt(doubt->strength);
}

static const struct account *likeliest_of(const struct account *accounts, int worlds)
{
    const struct account *likeliest = accounts;

    for (int i = 1; i < worlds; i++)
        if (accounts[i].share > likeliest->share)
            likeliest = &accounts[i];
    return likeliest;
}

enum status colour_fit(const struct colour_patch *patches, int count, struct colour_model *model,
                       struct colour_check *check, struct colour_doubt *doubt, struct error *error)
{
    const enum colour_world first = model->raw ? COLOUR_RAW : COLOUR_PLAIN;
    const int worlds = model->raw ? 1 : 2;
    struct equations equations = {.count = count, .rows = 3 * (size_t)count};
    struct account accounts[2] = {{0}};
    enum status status = STATUS_OK;

    for (int i = 0; i < count; i++)
        write_patch(model, &patches[i], i, &equations);
    for (int i = 0; !status && i < worlds; i++)
        status = account_create(&equations, first + (unsigned)i, &accounts[i], error);
    if (!status) {
        const struct account *likeliest;

        put_together(accounts, worlds, equations.rows, model, doubt);
        likeliest = likeliest_of(accounts, worlds);
        doubt->world = first + (unsigned)(likeliest - accounts);
        check_patches(patches, &equations, likeliest, model, check);
        if (!isfinite(check->left_out_mean))
            status = error_set(error, STATUS_NOT_FOUND, "the card's %d patches fix no colour model",
                               count);
    }
    for (int i = 0; i < worlds; i++)
        free(accounts[i].A);
    return status;
}

void colour_fit_reweigh(const struct colour_check *check, struct colour_patch *patches, int count)
{
    double sizes[COLOUR_PATCHES_MAX], sorted[COLOUR_PATCHES_MAX];
    double usual;

    for (int i = 0; i < count; i++)
        sizes[i] = sorted[i] = size_at(patches[i].lab, check->left_out[i]);
    usual = fmax(statistics_median(sorted, (size_t)count), USUAL_MIN);
    for (int i = 0; i < count; i++) {
        double share = sizes[i] / (TUKEY * usual);

        patches[i].weight = share < 1 ? (1 - share * share) * (1 - share * share) : 0;
    }
}

/* --- what it leaves open --- */

void colour_fit_covariance(const struct colour_model *model, const struct colour_doubt *doubt,
                           struct lab lab, double covariance[9])
{
    const double stray[9] = {pow(doubt->deviation, 2), 0, 0, 0, pow(doubt->deviation, 2), 0, 0, 0,
                             pow(doubt->deviation, 2)};
    double terms[COLOUR_TERMS], whitener[9], unwhitener[9];

    colour_model_terms(colour_model_unbend(model, lab), terms);
    colour_whitener(lab, whitener);
    linear_invert_3x3(whitener, unwhitener);
    linear_carry_3x3(unwhitener, stray, covariance);
    for (int p = 0; p < U; p++)
        for (int q = 0; q < U; q++)
            covariance[3 * (p % 3) + q % 3] +=
                terms[p / 3] * terms[q / 3] * doubt->covariance[p * U + q];
}
