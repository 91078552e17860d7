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
/* Of its own standard deviations an axis: a patch this far off is in glare or covered, not bent by
 * a look (Tukey's biweight); from 4 to 9 the rendered photos in tests/accuracy come out alike. */
#define TUKEY 6.0
#define WEIGHT_MIN 1e-6 /* a patch of less has no part in the fit */
#define SHARE_MIN 1e-3  /* scales of less, against the likeliest, change nothing that is stated */
#define HOPELESS 10.0   /* the logarithm of a share that is far less */

/* How strong a photo's look may be, and how far its surfaces may stray, against the learnt ones';
 * their prior is normal between logarithms. Our own judgement: half to double is common. */
static const double strengths[] = {0.3, 0.7, 1.2, 1.8};
static const double strays[] = {0.12, 0.3, 0.7, 1.4, 2.8};
#define STRENGTHS (int)(sizeof strengths / sizeof *strengths)
#define STRAYS (int)(sizeof strays / sizeof *strays)
#define USUAL_STRENGTH 0.8
#define STRENGTH_DEVIATION 0.8
#define STRAY_DEVIATION 0.7

/* By how much the variance of what moves patches together may be understated, and how often it is:
 * light is mostly as smooth as it is taken to be. Our own judgement; the tenfold one is for what a
 * look does to paper, which passes for light (real JPEGs want it, 2.6 for 2.8 delta E). Without a
 * look it only lets the colours pull the light: rendered raw photos 1.00 for 0.94. */
static const double loosenesses[] = {0.03, 1, 10};
static const double looseness_shares[COLOUR_WORLDS][3] = {
    [COLOUR_PLAIN] = {0.4, 0.6, 1e-4},
    [COLOUR_LOOK] = {0.35, 0.5, 0.15},
    [COLOUR_RAW] = {0.4, 0.6, 1e-4},
};
#define LOOSENESSES (int)(sizeof loosenesses / sizeof *loosenesses)
#define SCALES (LOOSENESSES * STRENGTHS * STRAYS)

/* --- before the fit --- */

void colour_fit_scale(const struct colour_patch *patches, int count, double scale[3])
{
    struct xyz white = colour_white();
    double wanted[3] = {0, 0, 0}, seen[3] = {0, 0, 0};

    for (int i = 0; i < count; i++) {
        struct xyz xyz = colour_xyz_from_lab(patches[i].lab);
        double parts[3] = {xyz.X / white.X, xyz.Y / white.Y, xyz.Z / white.Z};

        for (int k = 0; k < 3 && patches[i].neutral; k++) {
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
    double root[COLOUR_PATCHES_MAX]; /* of the patch's weight */
    double design[ROWS_MAX * U];
    double wanted[ROWS_MAX];
    double shared[ROWS_MAX * ROWS_MAX]; /* the covariance of what moves patches together */
};

static void write_patch(const struct colour_model *model, const struct colour_patch *patch, int i,
                        struct equations *equations)
{
    struct lab straight = colour_model_straight(model, patch->scene_linear);
    const double off[3] = {patch->lab.L - straight.L - patch->taken.L,
                           patch->lab.a - straight.a - patch->taken.a,
                           patch->lab.b - straight.b - patch->taken.b};
    double terms[COLOUR_TERMS], root = sqrt(patch->weight);
    double *whitener = equations->whitener[i], *wanted = equations->wanted + 3 * i;

    equations->root[i] = root;
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

/* What moves patches together, from Lab to the rows. */
static void write_shared(const double *together, struct equations *equations)
{
    size_t rows = equations->rows;

    for (size_t i = 0; i < rows / 3; i++)
        for (size_t j = 0; j < rows / 3; j++) {
            double block[9], half[9], other[9];

            for (size_t k = 0; k < 9; k++) {
                block[k] = together[(3 * i + k / 3) * rows + 3 * j + k % 3];
                other[k] = equations->whitener[j][3 * (k % 3) + k / 3];
            }
            linear_multiply_3x3(equations->whitener[i], block, half);
            linear_multiply_3x3(half, other, block);
            for (size_t k = 0; k < 9; k++)
                equations->shared[(3 * i + k / 3) * rows + 3 * j + k % 3] =
                    equations->root[i] * equations->root[j] * block[k];
        }
}

static void write_equations(const struct colour_model *model, const struct colour_patch *patches,
                            int count, const double *together, struct equations *equations)
{
    equations->count = count;
    equations->rows = 3 * (size_t)count;
    for (int i = 0; i < count; i++)
        write_patch(model, &patches[i], i, equations);
    if (together)
        write_shared(together, equations);
}

/* --- one world --- */

/* A world's account of the patches. With independent unknowns z, of deviation `strength`, the
 * coefficients are mean + root z; A = design * root takes z to the rows. The arrays are one
 * allocation; sums are over the scales, weighed by how likely they are. */
struct account {
    enum colour_world world;
    const struct colour_prior *prior;
    double *A;               /* rows x U */
    double *gram;            /* A A' */
    double *work;            /* rows x rows */
    double *certain;         /* sum of strength^4 times the rows' precision */
    double *precision;       /* sum of looseness^2 times the rows' precision */
    double off[ROWS_MAX];    /* what is wanted, less what the mean makes */
    double pull[ROWS_MAX];   /* sum of strength^2 times precision times off */
    double along[ROWS_MAX];  /* sum of looseness times precision times off */
    double evidence[SCALES]; /* logarithms */
    double looseness, spread,
        variance; /* sums of looseness, and of squares of strength and of straying */
    double share;
};

/* What is unknown of a photo as a whole, one of SCALES. */
struct scales {
    double looseness;
    double square; /* of the look's strength */
    double noise;  /* the variance of a surface */
    double log_prior;
};

static double log_normal(double ratio, double deviation)
{
    return -0.5 * pow(log(ratio) / deviation, 2);
}

static struct scales scales_of(const struct account *account, int number)
{
    int l = number / (STRENGTHS * STRAYS), s = number / STRAYS % STRENGTHS, t = number % STRAYS;

    return (struct scales){
        loosenesses[l], pow(strengths[s], 2), pow(account->prior->deviation * strays[t], 2),
        log_normal(strengths[s] / USUAL_STRENGTH, STRENGTH_DEVIATION) +
            log_normal(strays[t], STRAY_DEVIATION) + log(looseness_shares[account->world][l])};
}

static void make_straight_unknowns(const struct equations *equations, struct account *account)
{
    const double *root = account->prior->root;

    for (size_t i = 0; i < equations->rows; i++) {
        account->off[i] = equations->wanted[i];
        for (size_t p = 0; p < U; p++)
            account->off[i] -= equations->design[i * U + p] * account->prior->mean[p];
    }
    for (size_t p = 0; p < U; p++)
        for (size_t q = 0; q <= p; q++, root++)
            for (size_t i = 0; i < equations->rows; i++)
                account->A[i * U + q] += equations->design[i * U + p] * *root;
}

static void make_gram(size_t rows, struct account *account)
{
    for (size_t i = 0; i < rows; i++)
        for (size_t j = 0; j <= i; j++) {
            double sum = 0;

            for (size_t p = 0; p < U; p++)
                sum += account->A[i * U + p] * account->A[j * U + p];
            account->gram[i * rows + j] = account->gram[j * rows + i] = sum;
        }
}

static enum status account_create(const struct equations *equations, enum colour_world world,
                                  struct account *account, struct error *error)
{
    size_t rows = equations->rows;

    memset(account, 0, sizeof *account);
    account->world = world;
    account->prior = &colour_priors[world];
    account->A = memory_array(rows * (U + 4 * rows), sizeof *account->A, "the colour model", error);
    if (!account->A)
        return error->status;
    account->gram = account->A + rows * U;
    account->work = account->gram + rows * rows;
    account->certain = account->work + rows * rows;
    account->precision = account->certain + rows * rows;
    make_straight_unknowns(equations, account);
    make_gram(rows, account);
    return STATUS_OK;
}

/* The rows' covariance, in `work`. */
static void fill_covariance(const struct equations *equations, const struct scales *scales,
                            struct account *account)
{
    size_t rows = equations->rows;

    for (size_t i = 0; i < rows * rows; i++)
        account->work[i] =
            scales->square * account->gram[i] + scales->looseness * equations->shared[i];
    for (size_t i = 0; i < rows; i++)
        account->work[i * rows + i] += scales->noise;
}

/* How likely one of the scales makes the patches. */
static enum status weigh_one(const struct equations *equations, int number, struct account *account,
                             double *most, struct error *error)
{
    struct scales scales = scales_of(account, number);
    enum status status;

    fill_covariance(equations, &scales, account);
    status = linear_log_likelihood(account->work, equations->rows, account->off,
                                   &account->evidence[number], error);
    account->evidence[number] += scales.log_prior;
    *most = fmax(*most, account->evidence[number]);
    return status;
}

/* The same of straying from a middle one on, one way, until it is out of the question: further on
 * it gets no likelier. */
static enum status weigh_strays(const struct equations *equations, int from, int way,
                                struct account *account, double *most, struct error *error)
{
    int first = from / STRAYS * STRAYS;
    enum status status = STATUS_OK;

    for (int i = from + way; !status && i >= first && i < first + STRAYS; i += way) {
        status = weigh_one(equations, i, account, most, error);
        if (account->evidence[i] < *most - HOPELESS &&
            account->evidence[i] < account->evidence[i - way])
            break;
    }
    return status;
}

/* How likely the scales make the patches; the most of them. */
static enum status weigh_scales(const struct equations *equations, struct account *account,
                                double *most, struct error *error)
{
    enum status status = STATUS_OK;

    for (int i = 0; i < SCALES; i++)
        account->evidence[i] = -INFINITY;
    for (int middle = STRAYS / 2; !status && middle < SCALES; middle += STRAYS) {
        status = weigh_one(equations, middle, account, most, error);
        for (int way = -1; !status && way <= 1; way += 2)
            status = weigh_strays(equations, middle, way, account, most, error);
    }
    return status;
}

static enum status precision_of(const struct equations *equations, const struct scales *scales,
                                struct account *account, double *precision, struct error *error)
{
    fill_covariance(equations, scales, account);
    return linear_invert_symmetric(account->work, equations->rows, precision, error);
}

static void add_scales(const struct scales *scales, double share, size_t rows,
                       const double *precision, struct account *account)
{
    double loose = share * scales->looseness;

    account->share += share;
    account->looseness += loose;
    account->spread += share * scales->square;
    account->variance += share * scales->noise;
    for (size_t i = 0; i < rows; i++) {
        double along = 0;

        for (size_t j = 0; j < rows; j++) {
            double part = precision[i * rows + j];

            along += part * account->off[j];
            account->precision[i * rows + j] += loose * scales->looseness * part;
            account->certain[i * rows + j] += share * scales->square * scales->square * part;
        }
        account->along[i] += loose * along;
        account->pull[i] += share * scales->square * along;
    }
}

/* Sum up over the scales what each makes of the rows. */
static enum status average_scales(const struct equations *equations, double most,
                                  struct account *account, struct error *error)
{
    double precision[ROWS_MAX * ROWS_MAX];
    enum status status = STATUS_OK;

    for (int i = 0; !status && i < SCALES; i++) {
        struct scales scales = scales_of(account, i);
        double share = exp(account->evidence[i] - most);

        if (share < SHARE_MIN)
            continue;
        status = precision_of(equations, &scales, account, precision, error);
        if (!status)
            add_scales(&scales, share, equations->rows, precision, account);
    }
    return status;
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

static void add_coefficients(const struct account *account, size_t rows, double total,
                             struct colour_model *model)
{
    double z[U] = {0}, change[U];

    for (size_t i = 0; i < rows; i++)
        for (size_t p = 0; p < U; p++)
            z[p] += account->A[i * U + p] * account->pull[i] / total;
    through_root(account->prior, z, change);
    for (int p = 0; p < U; p++)
        model->coefficient[p / 3][p % 3] +=
            change[p] + account->share / total * account->prior->mean[p];
}

/* What is open of z: its variance, less what the rows tell of it. */
static void covariance_of_z(const struct account *account, size_t rows, double total,
                            double lines[U][U])
{
    double told[ROWS_MAX][U];

    for (size_t i = 0; i < rows; i++)
        for (size_t p = 0; p < U; p++) {
            told[i][p] = 0;
            for (size_t j = 0; j < rows; j++)
                told[i][p] += account->certain[i * rows + j] * account->A[j * U + p] / total;
        }
    for (size_t p = 0; p < U; p++)
        for (size_t q = 0; q < U; q++) {
            lines[p][q] = p == q ? account->spread / total : 0;
            for (size_t i = 0; i < rows; i++)
                lines[p][q] -= account->A[i * U + p] * told[i][q];
        }
}

static void add_covariance(const struct account *account, size_t rows, double total,
                           struct colour_doubt *doubt)
{
    double lines[U][U]; /* in z, then root z on one side */
    double column[U], carried[U];

    covariance_of_z(account, rows, total, lines);
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

/* --- what the patches say of what moves them together --- */

static void add_pull(const struct equations *equations, const struct account *account, double total,
                     struct colour_pull *pull)
{
    size_t rows = equations->rows;

    pull->looseness += account->looseness / total;
    for (size_t i = 0; i < rows; i++) {
        pull->along[i] += account->along[i] / total;
        for (size_t j = 0; j < rows; j++)
            pull->precision[i * rows + j] += account->precision[i * rows + j] / total;
    }
}

/* A patch's axes of Lab from those of its rows. */
static void axes_of(const struct equations *equations, size_t patch, double axes[9])
{
    for (int q = 0; q < 3; q++)
        for (int k = 0; k < 3; k++)
            axes[3 * k + q] = equations->root[patch] * equations->whitener[patch][3 * q + k];
}

/* From the equations' rows to differences of Lab. */
static void pull_to_lab(const struct equations *equations, struct colour_pull *pull)
{
    size_t rows = equations->rows;

    for (size_t i = 0; i < rows / 3; i++) {
        double axes[9], along[3];

        axes_of(equations, i, axes);
        linear_apply_3x3(axes, pull->along + 3 * i, along);
        memcpy(pull->along + 3 * i, along, sizeof along);
        for (size_t j = 0; j < rows / 3; j++) {
            double block[9], half[9];

            for (size_t k = 0; k < 9; k++)
                block[k] = pull->precision[(3 * i + k / 3) * rows + 3 * j + k % 3];
            linear_multiply_3x3(axes, block, half);
            linear_multiply_3x3(half, equations->whitener[j], block);
            for (size_t k = 0; k < 9; k++)
                pull->precision[(3 * i + k / 3) * rows + 3 * j + k % 3] =
                    equations->root[j] * block[k];
        }
    }
}

/* --- leaving one out --- */

static double size_at(struct lab lab, struct lab off)
{
    return colour_delta_e_2000(lab, (struct lab){lab.L + off.L, lab.a + off.a, lab.b + off.b});
}

static struct scales likeliest_scales(const struct account *account)
{
    int likeliest = 0;

    for (int i = 1; i < SCALES; i++)
        if (account->evidence[i] > account->evidence[likeliest])
            likeliest = i;
    return scales_of(account, likeliest);
}

/* How far a miss is from nothing, in the standard deviations that the fit without the patch gives
 * it, an axis: its variance is inverse(own), less the noise, over the weight, and the noise. */
static double oddness_of(const double variance[9], const double missed[3], double noise,
                         double weight)
{
    double own[9], inverse[9], along[3], square = 0;

    for (int k = 0; k < 9; k++)
        own[k] = (variance[k] - (k % 4 ? 0 : noise)) / weight + (k % 4 ? 0 : noise);
    linear_invert_3x3(own, inverse);
    linear_apply_3x3(inverse, missed, along);
    for (int k = 0; k < 3; k++)
        square += missed[k] * along[k] / weight / 3;
    return sqrt(fmax(square, 0));
}

/* What a fit without the patch would miss it by: from the rows' precision, of which `own` is the
 * patch's block, it is inverse(own) times the patch's rows of precision * off. */
static void miss_left_out(const struct equations *equations, const struct account *account,
                          const double *precision, double noise, size_t patch,
                          struct colour_check *check)
{
    size_t n = equations->rows;
    double own[9], pulled[3] = {0}, variance[9], unwhitener[9], missed[3], lab[3];
    double root = equations->root[patch];

    for (size_t q = 0; q < 3; q++) {
        const double *row = precision + (3 * patch + q) * n;

        for (size_t j = 0; j < n; j++)
            pulled[q] += row[j] * account->off[j];
        memcpy(own + 3 * q, row + 3 * patch, 3 * sizeof *own);
    }
    linear_invert_3x3(own, variance);
    linear_apply_3x3(variance, pulled, missed);
    linear_invert_3x3(equations->whitener[patch], unwhitener);
    linear_apply_3x3(unwhitener, missed, lab);
    check->left_out[patch] = (struct lab){-lab[0] / root, -lab[1] / root, -lab[2] / root};
    check->oddness[patch] = oddness_of(variance, missed, noise, root * root);
}

static void miss_patches(const struct colour_patch *patches, const struct equations *equations,
                         const struct colour_model *model, struct colour_check *check)
{
    for (int i = 0; i < equations->count; i++) {
        struct lab truth = patches[i].lab, lab = colour_model_lab(model, patches[i].scene_linear);

        check->residual[i] = (struct lab){lab.L - truth.L, lab.a - truth.a, lab.b - truth.b};
    }
}

static enum status check_patches(const struct colour_patch *patches,
                                 const struct equations *equations, struct account *likeliest,
                                 struct colour_check *check, struct error *error)
{
    double precision[ROWS_MAX * ROWS_MAX], sum = 0, weights = 0;
    struct scales scales = likeliest_scales(likeliest);
    enum status status = precision_of(equations, &scales, likeliest, precision, error);

    for (int i = 0; !status && i < equations->count; i++) {
        check->left_out[i] = check->residual[i];
        check->oddness[i] = INFINITY;
        if (patches[i].weight > WEIGHT_MIN)
            miss_left_out(equations, likeliest, precision, scales.noise, (size_t)i, check);
        sum += patches[i].weight * size_at(patches[i].lab, check->left_out[i]);
        weights += patches[i].weight;
    }
    check->left_out_mean = sum / weights;
    if (!status && !isfinite(check->left_out_mean))
        status = error_set(error, STATUS_NOT_FOUND, "the card's %d patches fix no colour model",
                           equations->count);
    return status;
}

/* --- the fit --- */

/* What each world makes of the patches, each told by how likely it is. */
static enum status weigh_worlds(const struct equations *equations, struct account *accounts,
                                int worlds, double *total, struct error *error)
{
    double most = -INFINITY;
    enum status status = STATUS_OK;

    for (int i = 0; !status && i < worlds; i++)
        status = weigh_scales(equations, &accounts[i], &most, error);
    *total = 0;
    for (int i = 0; !status && i < worlds; i++) {
        status = average_scales(equations, most, &accounts[i], error);
        *total += accounts[i].share;
    }
    return status;
}

static void put_together(const struct equations *equations, const struct account *accounts,
                         int worlds, double total, struct colour_fitted *fitted)
{
    struct colour_doubt *doubt = &fitted->doubt;
    double square = 0;

    memset(fitted->model.coefficient, 0, sizeof fitted->model.coefficient);
    memset(doubt, 0, sizeof *doubt);
    memset(&fitted->pull, 0, sizeof fitted->pull);
    for (int i = 0; i < worlds; i++) {
        add_coefficients(&accounts[i], equations->rows, total, &fitted->model);
        add_covariance(&accounts[i], equations->rows, total, doubt);
        add_pull(equations, &accounts[i], total, &fitted->pull);
        square += accounts[i].variance / total;
        doubt->strength += accounts[i].spread / total;
    }
    doubt->deviation = sqrt(square);
    doubt->strength = sqrt(doubt->strength);
    pull_to_lab(equations, &fitted->pull);
}

static int likeliest_of(const struct account *accounts, int worlds)
{
    int likeliest = 0;

    for (int i = 1; i < worlds; i++)
        if (accounts[i].share > accounts[likeliest].share)
            likeliest = i;
    return likeliest;
}

enum status colour_fit(const struct colour_patch *patches, int count, const double *together,
                       struct colour_fitted *fitted, struct error *error)
{
    const enum colour_world first = fitted->model.raw ? COLOUR_RAW : COLOUR_PLAIN;
    const int worlds = fitted->model.raw ? 1 : 2;
    static const struct equations none;
    struct equations equations = none;
    struct account accounts[2] = {{0}};
    enum status status = STATUS_OK;
    double total;

    write_equations(&fitted->model, patches, count, together, &equations);
    for (int i = 0; !status && i < worlds; i++)
        status = account_create(&equations, first + (unsigned)i, &accounts[i], error);
    if (!status)
        status = weigh_worlds(&equations, accounts, worlds, &total, error);
    if (!status) {
        int likeliest = likeliest_of(accounts, worlds);

        put_together(&equations, accounts, worlds, total, fitted);
        fitted->doubt.world = first + (unsigned)likeliest;
        miss_patches(patches, &equations, &fitted->model, &fitted->check);
        status = check_patches(patches, &equations, &accounts[likeliest], &fitted->check, error);
    }
    for (int i = 0; i < worlds; i++)
        free(accounts[i].A);
    return status;
}

void colour_fit_reweigh(const struct colour_check *check, struct colour_patch *patches, int count)
{
    for (int i = 0; i < count; i++) {
        bool usual = size_at(patches[i].lab, check->left_out[i]) < USUAL_MIN;
        double share = usual ? 0 : check->oddness[i] / TUKEY;

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
