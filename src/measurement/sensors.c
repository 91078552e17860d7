#include "sensors.h"

#include "values/statistics.h"
#include "vision/sampling.h"

#include <math.h>
#include <string.h>

/*
 * Where a sensor's mark lies, what it costs and from where on nothing is promised was read off
 * rendered photos: 27 as they are and 8 each spoilt in 21 ways, the card's or the sheet's light,
 * haze, tone mapping and more. The marks leave all 27 alone; "unspoilt" below is what these show.
 */

/* L* of the paper, unspoilt 90.4 to 97.3; the middle is what white paper most likely has. */
#define PAPER_USUAL 93.5
#define PAPER_LIGHT 96.5
#define PAPER_TOO_LIGHT 98.0
#define PAPER_DARK 90.0
#define PAPER_TOO_DARK 86.0
#define LIGHTER_COST 0.5 /* paper of 95.5 is as common as a card in 5 % less light */
#define DARKER_COST 0.7  /* darker paper is likelier than lighter */
#define PAPER_CHROMA                                                                               \
    8.0 /* of white paper; what has more is a coloured sheet, and may be darker                    \
         */

/* The card's black over its white, in linear light, beyond what its table has: unspoilt below
 * 0.002; under 3 % of white 0.04, under 8 % 0.11. Real cards without any haze that was told, whose
 * cameras lift the shadows, reach 0.035. */
#define HAZE_MIN 0.018
#define HAZE_COST 85.0 /* delta E 2000 for all of white */
#define HAZE_MUCH 0.07
/* Ink darker than the card's black, in L*, or below no light at all, over paper: the card is hazy
 * and the sheet is not. Ink that is dark and neither tells that both are alike. */
#define DARKER_THAN_BLACK 2.5
#define BELOW_NOTHING (-0.006)
#define DARK_L 32.0

/* Of inks below 65 of L*, the least of X, Y and Z over paper's: unspoilt at most 0.048, under 3 %
 * of white 0.061 and more, under 8 % 0.12. Black on matte paper gives back 3 to 5 % (common
 * practice, no source), so the first mark costs little. Few inks may well hold neither a dark nor a
 * strong one: unspoilt charts of 7 to 13 show up to 0.081. */
#define INKS_MIN 6
#define INKS_MANY 16
#define INKS_L 65.0
#define SHEET_HAZE_MIN 0.05
#define SHEET_HAZE_MIN_OF_FEW 0.085
#define SHEET_HAZE_USUAL 0.03
#define SHEET_HAZE_COST 80.0
#define SHEET_HAZE_MUCH 0.08
/* And so may many inks; but what lies over the sheet lifts every channel, and where a few inks have
 * one near nothing there is no such thing: the third least, in the file's own channels over
 * paper, is 0.001 on a chart without dark inks, 0.026 and more under 3 % of white. */
#define NEAR_NOTHING 0.02
#define NEAR_NOTHING_INKS 3

/* How the logarithm of paper's light changes with that of what lies around it: unspoilt from
 * -0.003 up, by maps of tone that lighten the dark by 5, 15 and 40 % -0.010, -0.020 and -0.059. */
#define SLOPE_MIN 0.006
#define SLOPE_SURE 5.0 /* standard errors */
#define SLOPE_COST 90.0
#define SLOPE_MUCH 0.03
#define AROUND 0.8 /* of a cell's side: how far "around" reaches */
#define AROUND_STEPS 6
#define PAPERS_MAX 400 /* samples looked around, evenly chosen */
#define PAPERS_MIN 30

/* L* by which the greys miss their table, on average: unspoilt to 0.17, real cards in mixed light
 * and compressed hard to 1.3. */
#define GREYS_MIN 0.5
#define GREYS_COST 0.5 /* the fit's own uncertainty has its part of it */
#define GREYS_MUCH 2.5

/* Rim of a printed grey left out, of its side: the printer's edge, blur and sharpening. */
#define GREY_INSET 0.25
/* The logarithm of the light of printed greys within dark over that of the same within white, by
 * drawn photos of a printed page: 16 unspoilt from -0.0031 to 0.0031; tone mapped with a power of
 * 0.1 over surroundings of 0.04 of the photo 0.008 to 0.033, of 0.08 half as much, of 0.15, far
 * wider than the greys' fields, nothing. Cells are off by 36 to 130 times that, mean delta E. */
#define LIFTED_MIN 0.008
#define LIFTED_COST 60.0
#define LIFTED_MUCH 0.08

/* Delta E 2000 by which patches are foretold from one another: rendered cards to 1.1 in any light,
 * real ones, compressed hard, to 3.9, other cards and poor prints more. The fit's own uncertainty
 * grows with it, so it costs no more here. */
#define COLOURS_MIN 1.4
#define COLOURS_MUCH 4.5

/* The paper's brightest channel, linear, of its brightest tenth: unspoilt to 0.877, and to 0.93
 * nothing is lost yet. */
#define EXPOSED_MIN 0.94
#define EXPOSED_COST 1.5
#define BURNT_SHARE 0.25 /* of the cells clipped, where no paper is left that is not */
#define BURNT_COST 3.0

/* A JPEG's coarsest step of a flat area, 8 of which are one code of 255: cameras' own files have 1
 * to
 * 10. Steps of 28 move a patch's mean by 0.9 delta E 2000 on average (own simulation); the fit's
 * uncertainty grows with the patches, this is for the cells. */
#define STEP_MIN 20
#define STEP_COST 0.03

/* More doubt than this tells nobody more. */
#define DEVIATION_MAX 5.0

static struct fault fault_of(double seen, double deviation, bool unpromised)
{
    return (struct fault){true, seen, fmin(deviation, DEVIATION_MAX), unpromised};
}

/* --- the card ------------------------------------------------------------------------------- */

/* Luminance over white of a patch, by the card's table. */
static double table_level(const struct card *card, int patch)
{
    return colour_xyz_from_lab(card->patch[patch]).Y;
}

/* The green of a patch as the file has it; 0 if it can't be seen. */
static double patch_level(const struct photo *photo, const struct card_pose *pose, int patch)
{
    struct quad inner = quad_inset(&pose->patch[patch], MEASUREMENT_PATCH_INSET);
    struct area_sample sample;
    struct error error;

    if (pose->hidden[patch] || sampling_area(photo, &inner, &sample, &error))
        return 0;
    return sample.rgb_linear.channel[1];
}

static void sense_haze(const struct photo *photo, const struct card *card,
                       const struct card_pose *pose, struct faults *faults)
{
    double wanted = table_level(card, card->shape.black) / table_level(card, card->shape.white);
    double light = patch_level(photo, pose, card->shape.white);
    double dark = patch_level(photo, pose, card->shape.black);
    double haze = light > 0 ? dark / light - wanted : 0;

    if (haze > HAZE_MIN)
        faults->of[FAULT_CARD_HAZY] = fault_of(haze, HAZE_COST * haze, haze > HAZE_MUCH);
}

static void sense_greys(const struct card *card, const struct correction_quality *quality,
                        struct faults *faults)
{
    double off = 0;
    int count = 0;

    for (int i = 0; i < card->shape.patches; i++)
        if (card->neutral[i] && quality->used[i]) {
            off += fabs(quality->measured[i].L - card->patch[i].L);
            count++;
        }
    off /= count > 0 ? count : 1;
    if (off > GREYS_MIN)
        faults->of[FAULT_GREYS] = fault_of(off, GREYS_COST * off, off > GREYS_MUCH);
}

static void sense_compression(const struct photo *photo, struct faults *faults)
{
    int luma = photo->traces.luma_step, chroma = photo->traces.chroma_step;
    int step = luma > chroma ? luma : chroma;

    if (step > STEP_MIN)
        faults->of[FAULT_COMPRESSED] = fault_of(step / 8.0, STEP_COST * step, false);
}

void sensors_of_card(const struct photo *photo, const struct card *card,
                     const struct measurement *measurement, struct faults *faults)
{
    double left_out = measurement->quality.left_out_mean;

    sense_compression(photo, faults);
    sense_haze(photo, card, &measurement->card, faults);
    sense_greys(card, &measurement->quality, faults);
    if (left_out > COLOURS_MIN)
        faults->of[FAULT_CARD_COLOURS] = fault_of(left_out, 0, left_out > COLOURS_MUCH);
}

/* --- the paper ------------------------------------------------------------------------------ */

static void sense_exposure(const struct scene *scene, struct faults *faults)
{
    double levels[PAPERS_MAX];
    size_t step = scene->paper.count / PAPERS_MAX + 1, count = 0;
    double brightest;

    for (size_t i = 0; i < scene->paper.count; i += step) {
        const double *rgb = scene->paper.samples[i].rgb_linear.channel;

        levels[count++] = fmax(fmax(rgb[0], rgb[1]), rgb[2]);
    }
    brightest = count ? statistics_quantile(levels, count, 0.9) : 0;
    if (brightest > EXPOSED_MIN)
        faults->of[FAULT_OVEREXPOSED] = fault_of(brightest, EXPOSED_COST, false);
}

void sensors_of_paper(const struct scene *scene, struct lab paper, struct faults *faults)
{
    double off = fabs(paper.L - PAPER_USUAL);

    if (!scene->paper.count)
        return; /* nothing is known of it */
    if (paper.L > PAPER_LIGHT)
        faults->of[FAULT_PAPER_LIGHTER] =
            fault_of(paper.L, LIGHTER_COST * off, paper.L > PAPER_TOO_LIGHT);
    if (paper.L < PAPER_DARK && colour_chroma(paper) < PAPER_CHROMA)
        faults->of[FAULT_PAPER_DARKER] =
            fault_of(paper.L, DARKER_COST * off, paper.L < PAPER_TOO_DARK);
    sense_exposure(scene, faults);
}

/* --- the cells ------------------------------------------------------------------------------ */

/* What a chart's ink shows of the darkest there is. */
struct darkest {
    double L;
    double channel; /* the lowest of all, over paper; below 0 it is darker than no light */
    /* of the inks below INKS_L: */
    int many;
    double colour;    /* the least of X, Y and Z, over paper's */
    int near_nothing; /* how many have a channel there */
};

static double least_over_paper(const struct scene *scene, struct lab lab)
{
    struct xyz ink = colour_xyz_from_lab(lab);
    struct xyz paper = colour_xyz_from_lab(scene_lab(scene, scene->paper_colour));

    return fmin(fmin(ink.X / paper.X, ink.Y / paper.Y), ink.Z / paper.Z);
}

static void look_at_ink(const struct scene *scene, const struct reading *reading,
                        struct darkest *darkest)
{
    struct area_sample sample;
    struct error error;
    struct rgb over;
    double lowest;

    if (sampling_area(&scene->photo, &reading->sampled, &sample, &error))
        return;
    over = scene_divided(sample.rgb_linear, correction_paper_at(scene->correction, sample.at));
    lowest = fmin(fmin(over.channel[0], over.channel[1]), over.channel[2]);
    darkest->L = fmin(darkest->L, reading->lab.L);
    darkest->channel = fmin(darkest->channel, lowest);
    if (reading->lab.L < INKS_L) {
        darkest->many++;
        darkest->colour = fmin(darkest->colour, least_over_paper(scene, reading->lab));
        darkest->near_nothing += lowest < NEAR_NOTHING;
    }
}

static void sense_sheet_haze(const struct darkest *darkest, struct faults *faults)
{
    double least = darkest->many < INKS_MANY ? SHEET_HAZE_MIN_OF_FEW : SHEET_HAZE_MIN;

    if (darkest->many < INKS_MIN || darkest->near_nothing >= NEAR_NOTHING_INKS)
        return;
    if (darkest->colour > least)
        faults->of[FAULT_SHEET_HAZY] =
            fault_of(darkest->colour, SHEET_HAZE_COST * (darkest->colour - SHEET_HAZE_USUAL),
                     darkest->colour > SHEET_HAZE_MUCH);
}

/* The sheet's inks tell whether a hazy card is alone in its haze, or the sheet is. */
static void sense_ink(const struct scene *scene, const struct measured_chart *chart,
                      const struct card *card, struct faults *faults)
{
    struct darkest darkest = {.L = 100, .channel = 1, .colour = 1};
    struct fault *haze = &faults->of[FAULT_CARD_HAZY];
    double black = card->patch[card->shape.black].L;

    for (int i = 0; i < chart->pose.rows * chart->pose.columns; i++)
        if (chart->readings[i].found == CELL_INK)
            look_at_ink(scene, &chart->readings[i], &darkest);
    if (haze->found && (darkest.L < black - DARKER_THAN_BLACK || darkest.channel < BELOW_NOTHING))
        haze->unpromised = true;
    else if (haze->found && darkest.L < DARK_L)
        memset(haze, 0, sizeof *haze);
    sense_sheet_haze(&darkest, faults);
}

/* The mean logarithm of what lies around a place, over paper. */
static bool look_around(const struct scene *scene, struct point at, double reach_px, double *level)
{
    int count = 0;

    *level = 0;
    for (int y = -AROUND_STEPS; y <= AROUND_STEPS; y++)
        for (int x = -AROUND_STEPS; x <= AROUND_STEPS; x++) {
            struct point place = {at.x + x * reach_px / AROUND_STEPS,
                                  at.y + y * reach_px / AROUND_STEPS};
            struct rgb seen;

            if (!sampling_glance(&scene->photo, place, 1, &seen))
                continue;
            *level += log(fmax(
                seen.channel[1] / correction_paper_at(scene->correction, place).channel[1], 0.01));
            count++;
        }
    *level /= count > 0 ? count : 1;
    return count > 0;
}

/* Sums of a straight fit. */
struct line_sums {
    double n, x, y, xx, xy, yy;
};

/* The slope, and how many of its standard errors it is away from none. */
static double slope_of(const struct line_sums *s, double *sure)
{
    double spread = s->xx - s->x * s->x / s->n;
    double slope = (s->xy - s->x * s->y / s->n) / spread;
    double left = s->yy - s->y * s->y / s->n - slope * slope * spread;

    *sure = fabs(slope) / sqrt(fmax(left, 1e-12) / s->n / spread);
    return slope;
}

static void sense_local_tone(const struct scene *scene, const struct measured_chart *chart,
                             struct faults *faults)
{
    double reach = AROUND * sqrt(fabs(quad_area(&chart->pose.outline[0]))), sure, slope;
    size_t step = scene->paper.count / PAPERS_MAX + 1;
    struct line_sums sums = {0, 0, 0, 0, 0, 0};

    for (size_t i = 0; i < scene->paper.count; i += step) {
        double x, y = log(fmax(scene->paper_rgb[i].channel[1], 0.01));

        if (!look_around(scene, scene->paper.samples[i].at, reach, &x))
            continue;
        sums.n++;
        sums.x += x;
        sums.y += y;
        sums.xx += x * x;
        sums.xy += x * y;
        sums.yy += y * y;
    }
    if (sums.n < PAPERS_MIN)
        return;
    slope = -slope_of(&sums, &sure);
    if (slope > SLOPE_MIN && sure > SLOPE_SURE)
        faults->of[FAULT_LOCAL_TONE] = fault_of(slope, SLOPE_COST * slope, slope > SLOPE_MUCH);
}

/* Paper that is wholly burnt out shows nothing more, and pale cells go with it. */
static void sense_burnt_out(const struct scene *scene, const struct measured_chart *chart,
                            struct faults *faults)
{
    int cells = chart->pose.rows * chart->pose.columns, clipped = 0;

    for (int i = 0; i < cells; i++)
        clipped += (chart->readings[i].flags & FLAG_CLIPPED) != 0;
    if (!scene->paper.count && clipped > BURNT_SHARE * cells)
        faults->of[FAULT_OVEREXPOSED] = fault_of(1, BURNT_COST, false);
}

void sensors_of_chart(const struct scene *scene, const struct measured_chart *chart,
                      const struct card *card, struct faults *faults)
{
    sense_ink(scene, chart, card, faults);
    sense_burnt_out(scene, chart, faults);
    if (scene->paper.count)
        sense_local_tone(scene, chart, faults);
}

/* --- what is printed ------------------------------------------------------------------------ */

/* The green of one of a sheet's greys or fields, tone undone, over paper there. */
static bool grey_level(const struct scene *scene, const struct chart_told *told,
                       const struct quad *on_page, double *level)
{
    struct quad seen = printed_chart_seen(&told->from_page, on_page);
    struct quad inner = quad_inset(&seen, GREY_INSET);
    struct area_sample sample;
    struct error error;

    if (sampling_area(&scene->photo, &inner, &sample, &error))
        return false;
    *level = scene_divided(sample.rgb_linear, correction_paper_at(scene->correction, sample.at))
                 .channel[1];
    return *level > 0;
}

void sensors_of_print(const struct scene *scene, const struct chart_told *told,
                      struct faults *faults)
{
    double lifted = 0;

    for (int i = 0; i < PRINTED_GREYS; i++) {
        struct quad light = printed_chart_grey(told->printed, false, i);
        struct quad dark = printed_chart_grey(told->printed, true, i);
        double within_light, within_dark;

        if (!grey_level(scene, told, &light, &within_light) ||
            !grey_level(scene, told, &dark, &within_dark))
            return; /* cut off or too small: nothing is known */
        lifted += log(within_dark / within_light) / PRINTED_GREYS;
    }
    if (lifted > LIFTED_MIN)
        faults->of[FAULT_PRINTED_GREYS] =
            fault_of(lifted, LIFTED_COST * lifted, lifted > LIFTED_MUCH);
}
