#include "glare.h"

#include "values/linear.h"
#include "values/statistics.h"

#include <math.h>
#include <string.h>

/* Standard deviations: of a point's channel, relative to paper; of ink's density from point to
 * point; of paper's light beside the smooth field. */
#define NOISE 0.012
#define MOTTLE 0.12
#define PAPER_NOISE 0.012

#define GLARE_MIN 0.008 /* of paper's light: less is not told from mottle */
#define SIZE_MAX 1.8    /* of the cell: wider, it is light */
#define GAIN_MIN 90.0   /* in log likelihood */
#define RANGE_MIN 0.02
#define NONE_PRIOR 25.0 /* what the prior on the height holds against no glare at all */
#define ITERATIONS 15

/* Glare swells on ink and goes on over the paper beside it. Each of some 60 bells on rendered
 * photos with lamps mirrored in them left less of the paper's differences than there was, and all
 * but three explained half of the ink's; those three explained the paper's. Paper that shows
 * through mottled ink does neither. */
#define PAPER_SEEN 0.02
#define PAPER_LEFT_MAX 0.7
#define PAPER_WORSE 0.002
#define INK_EXPLAINED_MIN 0.5

/* Of the glare taken off, the part that is unsure; and what is unsure of a point without any. */
#define UNSURE 0.7
#define USUAL_SPREAD 0.02 /* of paper around a cell, from place to place */
#define UNSEEN_SHARE 0.5  /* of what more it differs by, where no bell is seen on the ink itself */
#define NOISE_OF_POINT 0.02

/* The bell's unknowns: height, middle, size, and what the ink's points are off by. */
enum { HEIGHT, MIDDLE_X, MIDDLE_Y, SIZE, OFFSET, UNKNOWNS };

struct bell {
    const struct glare_point *points;
    int count;
    struct point centre;
    double size_px;
    double amount[GLARE_POINTS_MAX]; /* seen: over the cell's median for ink, over 1 for paper */
    double deviation[GLARE_POINTS_MAX];
};

/* --- what each point shows --- */

static struct rgb median_ink(const struct glare_point *points, int count)
{
    double values[GLARE_POINTS_MAX];
    struct rgb median;

    for (int k = 0; k < 3; k++) {
        size_t inks = 0;

        for (int i = 0; i < count; i++)
            if (!points[i].is_paper)
                values[inks++] = points[i].over_paper.channel[k];
        median.channel[k] = fmax(statistics_median(values, inks), 0.002);
    }
    return median;
}

/* Part a point's difference from the median into density and glare; glare's part and how sure. */
static double glare_of(struct rgb seen, struct rgb median, double *deviation)
{
    double mm = 1 / (MOTTLE * MOTTLE), mg = 0, gg = 1e-2, m = 0, g = 0, determinant;

    for (int k = 0; k < 3; k++) {
        double value = median.channel[k];
        double density = value * log(value);
        double off = seen.channel[k] - value;
        double weight = 1 / (NOISE * NOISE * (0.3 + value));

        mm += weight * density * density;
        mg += weight * density;
        gg += weight;
        m += weight * density * off;
        g += weight * off;
    }
    determinant = mm * gg - mg * mg;
    *deviation = sqrt(mm / determinant);
    return (mm * g - mg * m) / determinant;
}

static void read_points(struct bell *bell)
{
    struct rgb median = median_ink(bell->points, bell->count);

    for (int i = 0; i < bell->count; i++) {
        const struct glare_point *point = &bell->points[i];
        const double *c = point->over_paper.channel;

        if (point->is_paper) {
            bell->amount[i] = (c[0] + c[1] + c[2]) / 3 - 1;
            bell->deviation[i] = PAPER_NOISE;
        } else {
            bell->amount[i] = glare_of(point->over_paper, median, &bell->deviation[i]);
        }
    }
}

/* --- the bell --- */

static double bell_at(const struct bell *bell, const double *unknowns, struct point at)
{
    double x = (at.x - bell->centre.x) / bell->size_px - unknowns[MIDDLE_X];
    double y = (at.y - bell->centre.y) / bell->size_px - unknowns[MIDDLE_Y];
    double size = exp(unknowns[SIZE]);

    return exp(unknowns[HEIGHT]) * exp(-(x * x + y * y) / (size * size));
}

static void evaluate(const double *unknowns, void *context, double *residuals)
{
    const struct bell *bell = context;

    for (int i = 0; i < bell->count; i++) {
        double wanted = bell->amount[i] + (bell->points[i].is_paper ? 0 : unknowns[OFFSET]);

        residuals[i] = (wanted - bell_at(bell, unknowns, bell->points[i].at)) / bell->deviation[i];
        residuals[i] /= sqrt(1 + fabs(residuals[i]) / 4);
    }
    residuals[bell->count] = (unknowns[SIZE] + 0.3) / 0.5;
    residuals[bell->count + 1] = unknowns[MIDDLE_X] / 1.0;
    residuals[bell->count + 2] = unknowns[MIDDLE_Y] / 1.0;
    residuals[bell->count + 3] = (unknowns[HEIGHT] + 2) / 2;
}

#define PRIORS 4

static double sum_of_squares(const struct bell *bell, const double *unknowns)
{
    double residuals[GLARE_POINTS_MAX + PRIORS], sum = 0;

    evaluate(unknowns, (void *)bell, residuals);
    for (int i = 0; i < bell->count + PRIORS; i++)
        sum += residuals[i] * residuals[i];
    return sum;
}

/* Start at the brightest fifth of the ink's points. */
static void start(const struct bell *bell, double *unknowns)
{
    double sorted[GLARE_POINTS_MAX], high, low, weights = 0;
    size_t inks = 0;

    for (int i = 0; i < bell->count; i++)
        if (!bell->points[i].is_paper)
            sorted[inks++] = bell->amount[i];
    high = statistics_quantile(sorted, inks, 0.9);
    low = statistics_quantile(sorted, inks, 0.1);
    memset(unknowns, 0, UNKNOWNS * sizeof *unknowns);
    for (int i = 0; i < bell->count; i++) {
        if (bell->points[i].is_paper || bell->amount[i] < high)
            continue;
        unknowns[MIDDLE_X] += (bell->points[i].at.x - bell->centre.x) / bell->size_px;
        unknowns[MIDDLE_Y] += (bell->points[i].at.y - bell->centre.y) / bell->size_px;
        weights++;
    }
    unknowns[MIDDLE_X] /= fmax(weights, 1);
    unknowns[MIDDLE_Y] /= fmax(weights, 1);
    unknowns[SIZE] = log(0.6);
    unknowns[HEIGHT] = log(fmax(1.2 * (high - low), 0.01));
    unknowns[OFFSET] = -low;
}

static struct point centre_of(const struct glare_point *points, int count)
{
    struct point sum = {0, 0};
    int inks = 0;

    for (int i = 0; i < count; i++)
        if (!points[i].is_paper) {
            sum = point_add(sum, points[i].at);
            inks++;
        }
    return point_scale(sum, 1.0 / (inks > 0 ? inks : 1));
}

/* A quick look: the bell moves the ink's points by more than mottle, or the paper's up. */
static bool may_shine(const struct bell *bell)
{
    double inks[GLARE_POINTS_MAX], papers[GLARE_POINTS_MAX];
    size_t ink_count = 0, paper_count = 0;

    for (int i = 0; i < bell->count; i++)
        if (bell->points[i].is_paper)
            papers[paper_count++] = bell->amount[i];
        else
            inks[ink_count++] = bell->amount[i];
    return statistics_quantile(inks, ink_count, 0.9) - statistics_quantile(inks, ink_count, 0.1) >
               RANGE_MIN ||
           (paper_count > 2 && statistics_quantile(papers, paper_count, 0.9) > RANGE_MIN);
}

static const double no_bell[UNKNOWNS] = {-12, 0, 0, 0, 0};

/* Fit the bell's unknowns from the start; how much likelier it makes the points than none. */
static enum status fit_bell(const struct bell *bell, double *unknowns, double *gain,
                            struct error *error)
{
    double none[UNKNOWNS], offsets[GLARE_POINTS_MAX];
    struct linear_residuals problem = {evaluate, (void *)bell, UNKNOWNS,
                                       (size_t)bell->count + PRIORS, ITERATIONS};
    enum status status;
    size_t inks = 0;

    memcpy(none, no_bell, sizeof none);
    for (int i = 0; i < bell->count; i++)
        if (!bell->points[i].is_paper)
            offsets[inks++] = -bell->amount[i];
    none[OFFSET] = statistics_median(offsets, inks);
    status = linear_minimise(&problem, unknowns, error);
    *gain = status ? 0 : sum_of_squares(bell, none) - NONE_PRIOR - sum_of_squares(bell, unknowns);
    return status == STATUS_NOT_FOUND ? STATUS_OK : status;
}

/* How much of ink or paper points' differences there is (bare), and how much a bell leaves, mean
 * squares; ink's are about their mean, which the ink itself has. */
static void differences(const struct bell *bell, const double *unknowns, bool paper, double *bare,
                        double *left)
{
    double sums[2] = {0, 0}, squares[2] = {0, 0};
    int count = 0;

    for (int i = 0; i < bell->count; i++) {
        double seen = bell->amount[i];
        double rest = seen - bell_at(bell, unknowns, bell->points[i].at);

        if (bell->points[i].is_paper != paper)
            continue;
        sums[0] += seen;
        sums[1] += rest;
        squares[0] += seen * seen;
        squares[1] += rest * rest;
        count++;
    }
    count = count > 0 ? count : 1;
    *bare = squares[0] / count - (paper ? 0 : pow(sums[0] / count, 2));
    *left = squares[1] / count - (paper ? 0 : pow(sums[1] / count, 2));
}

/* Whether ink and the paper around bear the bell out. */
static bool is_borne_out(const struct bell *bell, const double *unknowns)
{
    double ink_bare, ink_left, paper_bare, paper_left;

    differences(bell, unknowns, false, &ink_bare, &ink_left);
    differences(bell, unknowns, true, &paper_bare, &paper_left);
    paper_bare = sqrt(paper_bare);
    paper_left = sqrt(paper_left);
    if (paper_bare > PAPER_SEEN && paper_left < PAPER_LEFT_MAX * paper_bare)
        return true;
    return paper_left < paper_bare + PAPER_WORSE && ink_left < (1 - INK_EXPLAINED_MIN) * ink_bare;
}

static double paper_mean(const struct bell *bell)
{
    double mean = 0;
    int count = 0;

    for (int i = 0; i < bell->count; i++)
        if (bell->points[i].is_paper)
            mean += (bell->amount[i] - mean) / ++count;
    return mean;
}

/* How far what a bell leaves of the paper around lies off a value, root mean square, beyond what is
 * usual: that may lie on the ink, too. */
static double paper_off(const struct bell *bell, const double *unknowns, double value)
{
    double squares = 0;
    int count = 0;

    for (int i = 0; i < bell->count; i++)
        if (bell->points[i].is_paper) {
            double left = bell->amount[i] - bell_at(bell, unknowns, bell->points[i].at);

            squares += pow(left - value, 2);
            count++;
        }
    return count ? sqrt(fmax(squares / count - USUAL_SPREAD * USUAL_SPREAD, 0)) : 0;
}

/* The ink without the glare: points that lie in less of it count more. */
static void take_off(const struct bell *bell, const double *unknowns, struct glare *glare)
{
    double weights = 0;

    for (int i = 0; i < bell->count; i++) {
        double amount = bell_at(bell, unknowns, bell->points[i].at);
        double weight = 1 / (NOISE_OF_POINT * NOISE_OF_POINT + pow(UNSURE * amount, 2));

        if (bell->points[i].is_paper)
            continue;
        for (int k = 0; k < 3; k++)
            glare->over_paper.channel[k] +=
                weight * (bell->points[i].over_paper.channel[k] - amount);
        glare->removed += weight * amount;
        weights += weight;
    }
    for (int k = 0; k < 3; k++)
        glare->over_paper.channel[k] /= weights;
    glare->removed /= weights;
    glare->uncertain = hypot(UNSURE * glare->removed, paper_off(bell, unknowns, 0));
}

enum status glare_fit(const struct glare_point *points, int count, double size_px,
                      struct glare *glare, struct error *error)
{
    struct bell bell = {points, count, centre_of(points, count), size_px, {0}, {0}};
    double unknowns[UNKNOWNS], gain;
    enum status status;

    memset(glare, 0, sizeof *glare);
    read_points(&bell);
    glare->uncertain = UNSEEN_SHARE * paper_off(&bell, no_bell, paper_mean(&bell));
    if (!may_shine(&bell))
        return STATUS_OK;
    start(&bell, unknowns);
    status = fit_bell(&bell, unknowns, &gain, error);
    if (status || gain < GAIN_MIN || exp(unknowns[SIZE]) > SIZE_MAX ||
        !is_borne_out(&bell, unknowns))
        return status;
    take_off(&bell, unknowns, glare);
    glare->found = glare->removed > GLARE_MIN;
    return STATUS_OK;
}
