#include "paper.h"

#include "base/memory.h"
#include "paper_shade.h"
#include "values/linear.h"
#include "values/statistics.h"

#include <math.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

#define MARGIN 0.12 /* of the pitch: the strip of paper looked for outside the outer cells */
#define LONE_PITCH                                                                                 \
    1.2 /* of its side: how far off a lone cell's neighbour would lie, as gaps usually are */
#define GAP_INSET 0.28 /* of a gap left out at each side: soft edges, outlines */
/* A sample's relative deviation: more is an outline or a label, unless the photo is so grainy that
 * its calmest gaps come near it. The less light, the more grain. */
#define SPREAD_MAX 0.06
#define SPREAD_CALM_QUANTILE 0.25
#define SPREAD_OVER_CALM 1.35
#define SPREAD_NEVER 0.16
#define FIELD_TERMS 6 /* a quadratic field of log light: enough to tell paper from marks */
#define FIELD_ROUNDS 14
#define DARKER_SCALE 0.015 /* relative: what lies below the field counts ever less; from wider, */
#define FIRST_SCALE 0.12   /* that the field be of all paper, not of the brightest alone */
#define SCALE_RATIO 0.7    /* from round to round */
#define DARKER_MAX 0.035   /* and this far off it is no bare paper */
#define GAPS_PER_CELL 3

/* The chart's cells with one more ring of cells around them that are not there. */
struct ring {
    int rows;
    int columns;
    struct quad *cells;
};

static struct quad shifted(const struct quad *from, const struct quad *by, double pitches)
{
    struct point step = point_subtract(quad_centre(from), quad_centre(by));
    struct quad moved;

    for (int i = 0; i < 4; i++)
        moved.corner[i] = point_add(from->corner[i], point_scale(step, pitches));
    return moved;
}

static struct quad *ring_at(const struct ring *ring, int row, int column)
{
    return &ring->cells[row * ring->columns + column];
}

/* Extrapolate the cells at both ends of a line of the ring. */
static void extend(struct quad *first, int step, int count)
{
    struct quad *last = first + step * (count - 1);

    *first = shifted(first + step, first + 2 * step, 1 + MARGIN);
    *last = shifted(last - step, last - 2 * step, 1 + MARGIN);
}

/* Lay cells on both sides of one that has no neighbours to tell the pitch, a usual gap away;
 * `from` and `to` are the corners of one side, and of the one opposite, in the way they lie. */
static void surround(struct quad *first, int step, bool in_row)
{
    const struct quad *lone = first + step;
    const struct point *c = lone->corner;
    struct point low = in_row ? point_between(c[0], c[3], 0.5) : point_between(c[0], c[1], 0.5);
    struct point high = in_row ? point_between(c[1], c[2], 0.5) : point_between(c[3], c[2], 0.5);
    struct point pitch = point_scale(point_subtract(high, low), LONE_PITCH);

    for (int i = 0; i < 4; i++) {
        first->corner[i] = point_subtract(c[i], pitch);
        first[2 * step].corner[i] = point_add(c[i], pitch);
    }
}

static enum status ring_create(const struct chart_pose *chart, struct ring *ring,
                               struct error *error)
{
    *ring = (struct ring){chart->rows + 2, chart->columns + 2, NULL};
    ring->cells = memory_array((size_t)ring->rows * (size_t)ring->columns, sizeof *ring->cells,
                               "paper places", error);
    if (!ring->cells)
        return error->status;
    for (int row = 0; row < chart->rows; row++)
        for (int column = 0; column < chart->columns; column++)
            *ring_at(ring, row + 1, column + 1) = chart->outline[row * chart->columns + column];
    for (int row = 1; row <= chart->rows; row++)
        if (chart->columns > 1)
            extend(ring_at(ring, row, 0), 1, ring->columns);
        else
            surround(ring_at(ring, row, 0), 1, true);
    for (int column = 0; column < ring->columns; column++)
        if (chart->rows > 1)
            extend(ring_at(ring, 0, column), ring->columns, ring->rows);
        else
            surround(ring_at(ring, 0, column), ring->columns, false);
    return STATUS_OK;
}

/* The three gaps right of, below, and diagonally below a cell of the ring. */
static void gaps_at(const struct ring *ring, int row, int column, struct quad gaps[GAPS_PER_CELL])
{
    const struct quad *here = ring_at(ring, row, column);
    const struct quad *right = ring_at(ring, row, column + 1);
    const struct quad *below = ring_at(ring, row + 1, column);
    const struct quad *across = ring_at(ring, row + 1, column + 1);

    gaps[0] = (struct quad){{here->corner[1], right->corner[0], right->corner[3], here->corner[2]}};
    gaps[1] = (struct quad){{here->corner[3], here->corner[2], below->corner[1], below->corner[0]}};
    gaps[2] =
        (struct quad){{here->corner[2], right->corner[3], across->corner[0], below->corner[1]}};
}

static bool shows_light(const struct area_sample *sample)
{
    for (int k = 0; k < 3; k++)
        if (!(sample->rgb_linear.channel[k] > 0))
            return false;
    return sample->clipped <= 0.02;
}

/* Sample one gap; none is added where it is too small, off the photo, or clipped. */
static enum status sample_gap(const struct photo *photo, const struct quad *gap,
                              struct paper *paper, struct error *error)
{
    struct quad inner = quad_inset(gap, GAP_INSET);
    struct area_sample *sample = &paper->samples[paper->count];
    enum status status;

    if (!quad_is_convex(&inner))
        return STATUS_OK;
    status = sampling_area(photo, &inner, sample, error);
    if (!status && shows_light(sample))
        paper->count++;
    return status == STATUS_QUALITY ? STATUS_OK : status;
}

/* How uneven a sample is for its light: grain is least, relative, where there is most of it. */
static double grain_of(const struct area_sample *sample)
{
    return sampling_spread(sample) * sqrt(sample->rgb_linear.channel[1]);
}

/* Keep the samples that are of one colour, as even as the photo's grain lets them be. */
static enum status keep_even(struct paper *paper, struct error *error)
{
    double *grains = memory_array(paper->count, sizeof *grains, "paper samples", error);
    double grain;
    size_t kept = 0;

    if (!grains)
        return error->status;
    for (size_t i = 0; i < paper->count; i++)
        grains[i] = grain_of(&paper->samples[i]);
    grain = SPREAD_OVER_CALM * statistics_quantile(grains, paper->count, SPREAD_CALM_QUANTILE);
    for (size_t i = 0; i < paper->count; i++) {
        double spread = sampling_spread(&paper->samples[i]);

        if (spread <= SPREAD_MAX ||
            (grain_of(&paper->samples[i]) <= grain && spread <= SPREAD_NEVER))
            paper->samples[kept++] = paper->samples[i];
    }
    paper->count = kept;
    free(grains);
    return STATUS_OK;
}

static enum status sample_gaps(const struct photo *photo, const struct ring *ring,
                               struct paper *paper, struct error *error)
{
    size_t room = (size_t)ring->rows * (size_t)ring->columns * GAPS_PER_CELL;
    enum status status = STATUS_OK;

    paper->samples = memory_array(room, sizeof *paper->samples, "paper samples", error);
    if (!paper->samples)
        return error->status;
    for (int row = 0; row + 1 < ring->rows; row++)
        for (int column = 0; column + 1 < ring->columns; column++) {
            struct quad gaps[GAPS_PER_CELL];

            gaps_at(ring, row, column, gaps);
            for (int i = 0; !status && i < GAPS_PER_CELL; i++)
                status = sample_gap(photo, &gaps[i], paper, error);
        }
    return status;
}

/* The log-light equations of all samples, about the photo's middle. */
static void field_equations(const struct photo *photo, const struct paper *paper, double *design,
                            double *target)
{
    double reach = fmax(photo->image.width_px, photo->image.height_px) / 2.0;

    for (size_t i = 0; i < paper->count; i++) {
        const struct area_sample *sample = &paper->samples[i];
        double x = sample->at.x / reach - 1, y = sample->at.y / reach - 1;
        const double terms[FIELD_TERMS] = {1, x, y, x * x, x * y, y * y};

        memcpy(design + FIELD_TERMS * i, terms, sizeof terms);
        for (int k = 0; k < 3; k++)
            target[3 * i + (size_t)k] = log(sample->rgb_linear.channel[k]);
    }
}

/* How far a sample lies under the field in each channel, relative. */
static void under_field(const double *terms, const double *target, const double *solution,
                        double under[3])
{
    for (int k = 0; k < 3; k++) {
        under[k] = -target[k];
        for (int j = 0; j < FIELD_TERMS; j++)
            under[k] += terms[j] * solution[3 * j + k];
    }
}

/* The same in its worst channel; over it counts half. */
static double darker_than(const double *terms, const double *target, const double *solution)
{
    double under[3], worst = 0;

    under_field(terms, target, solution, under);
    for (int k = 0; k < 3; k++)
        worst = fmax(worst, under[k] > 0 ? under[k] : -under[k] / 2);
    return worst;
}

static bool is_lighter(const double *terms, const double *target, const double *solution)
{
    double under[3];

    under_field(terms, target, solution, under);
    return under[0] < 0 && under[1] < 0 && under[2] < 0;
}

/* Fit the field to the bright samples, ever more closely, then tell those on it and over it. */
static enum status tell_bare(const struct photo *photo, const struct paper *paper, bool *bare,
                             bool *lit, struct error *error)
{
    double *design =
        memory_array(paper->count, (FIELD_TERMS + 5) * sizeof *design, "paper light", error);
    double *target = design ? design + FIELD_TERMS * paper->count : NULL;
    double *weight = design ? target + 3 * paper->count : NULL;
    const double ridge[FIELD_TERMS] = {0, 1e-3, 1e-3, 1e-2, 1e-2, 1e-2};
    struct linear_problem problem = {design, target, weight, ridge, paper->count, FIELD_TERMS, 3};
    double solution[FIELD_TERMS * 3];
    enum status status = design ? STATUS_OK : error->status;

    if (!status)
        field_equations(photo, paper, design, target);
    for (size_t i = 0; !status && i < paper->count; i++)
        weight[i] = exp(4 * (target[3 * i] + target[3 * i + 1] + target[3 * i + 2]) / 3);
    for (int round = 0; !status && round < FIELD_ROUNDS; round++) {
        double scale = fmax(FIRST_SCALE * pow(SCALE_RATIO, round), DARKER_SCALE);

        status = linear_least_squares(&problem, solution, error);
        for (size_t i = 0; !status && i < paper->count; i++) {
            double off = darker_than(design + FIELD_TERMS * i, target + 3 * i, solution) / scale;

            weight[i] = 1 / (1 + off * off * off * off);
        }
    }
    for (size_t i = 0; !status && i < paper->count; i++) {
        bare[i] = darker_than(design + FIELD_TERMS * i, target + 3 * i, solution) < DARKER_MAX;
        lit[i] = is_lighter(design + FIELD_TERMS * i, target + 3 * i, solution);
    }
    free(design);
    return status == STATUS_NOT_FOUND ? STATUS_OK : status; /* too few to tell: no paper */
}

static enum status keep_bare(const struct photo *photo, const struct chart_pose *chart,
                             struct paper *paper, struct error *error)
{
    bool *bare = memory_array(2 * paper->count, sizeof *bare, "paper samples", error);
    bool *lit = bare ? bare + paper->count : NULL;
    enum status status = bare ? tell_bare(photo, paper, bare, lit, error) : error->status;
    size_t kept = 0;

    if (!status)
        status = paper_follow_shade(paper, chart, bare, error);
    paper->lit = memory_array(paper->count, sizeof *paper->lit, "paper samples", error);
    if (!status && !paper->lit)
        status = error->status;
    for (size_t i = 0; !status && i < paper->count; i++) {
        if (bare[i])
            paper->samples[kept++] = paper->samples[i];
        else if (lit[i])
            paper->lit[paper->lit_count++] = paper->samples[i];
    }
    paper->count = kept;
    free(bare);
    return status;
}

enum status paper_find(const struct photo *photo, const struct chart_pose *chart,
                       struct paper *paper, struct error *error)
{
    struct ring ring;
    enum status status = ring_create(chart, &ring, error);

    if (!status)
        status = sample_gaps(photo, &ring, paper, error);
    if (!status && paper->count)
        status = keep_even(paper, error);
    if (!status && paper->count)
        status = keep_bare(photo, chart, paper, error);
    free(ring.cells);
    return status;
}

void paper_release(struct paper *paper)
{
    free(paper->samples);
    free(paper->lit);
    memset(paper, 0, sizeof *paper);
}
