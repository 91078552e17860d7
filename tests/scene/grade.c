#include "plan.h"

#include "camera.h"
#include "card_colours.h"
#include "look.h"

#include <math.h>

#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>

const char *grade_label(int grade)
{
    static const char *const labels[] = {"even", "ordinary", "hard"};

    return labels[grade];
}

const char *treatment_label(int treatment)
{
    static const char *const labels[] = {"", "look", "phone"};

    return labels[treatment];
}

static double between(gsl_rng *rng, double low, double high)
{
    return gsl_ran_flat(rng, low, high);
}

static int whole_between(gsl_rng *rng, int low, int high)
{
    return low + (int)gsl_rng_uniform_int(rng, (unsigned long)(high - low + 1));
}

static int chance(gsl_rng *rng, double part)
{
    return gsl_rng_uniform(rng) < part;
}

static void draw_chart(struct plan *plan, gsl_rng *rng)
{
    plan->charts = 1;
    plan->rows = whole_between(rng, 3, 12);
    plan->columns = whole_between(rng, 2, 10);
    plan->cell_width_mm = between(rng, 14.0, 26.0);
    plan->cell_height_mm = plan->cell_width_mm * between(rng, 0.65, 1.2);
    plan->outline = whole_between(rng, OUTLINE_NONE, OUTLINE_PENCIL);
    plan->labels = chance(rng, 0.55);
    plan->gap_x_mm = chance(rng, 0.35) ? 1.0 : between(rng, 2.0, 6.0);
    plan->gap_y_mm = plan->labels ? between(rng, 4.8, 7.0) : plan->gap_x_mm;
    plan->title = chance(rng, 0.6);
    plan->paper = chance(rng, 0.6) ? 0 : chance(rng, 0.5) ? 1 : 2;
    plan->palette = chance(rng, 0.15)  ? PALETTE_PALE
                    : chance(rng, 0.5) ? PALETTE_ORDER
                                       : PALETTE_ALL;
    plan->blank_part = chance(rng, 0.5) ? 0.0 : between(rng, 0.03, 0.25);
    plan->mottle = between(rng, 0.03, 0.12) * (1.0 + 0.4 * plan->grade);
    plan->softness_mm = between(rng, 0.12, 0.4);
    plan->irregularity_mm = between(rng, 0.1, 0.45);
    plan->marks = plan->grade == GRADE_EVEN ? 0 : whole_between(rng, 0, 3);
}

/* Beside the longer side of the sheet mostly, where a person would put it. */
static int draw_card_place(const struct plan *plan, gsl_rng *rng)
{
    double width = plan->columns * (plan->cell_width_mm + plan->gap_x_mm);
    double height = plan->rows * (plan->cell_height_mm + plan->gap_y_mm);

    if (chance(rng, 0.2))
        return CARD_ON;
    if (chance(rng, 0.8))
        return height > width ? whole_between(rng, CARD_LEFT, CARD_RIGHT)
                              : whole_between(rng, CARD_ABOVE, CARD_BELOW);
    return whole_between(rng, CARD_LEFT, CARD_BELOW);
}

static void draw_card(struct plan *plan, gsl_rng *rng)
{
    static const double smallest_mm[] = {20.0, 16.0, 12.0};
    double size = plan->rows * plan->cell_height_mm + plan->columns * plan->cell_width_mm;

    plan->cards = 1;
    plan->edition = chance(rng, 0.7) ? EDITION_2014 : EDITION_2005;
    plan->card_place = draw_card_place(plan, rng);
    plan->card_pitch_mm =
        fmax(smallest_mm[plan->grade], fmin(42.0, size * between(rng, 0.045, 0.1)));
    plan->card_turn_degrees = 90.0 * whole_between(rng, 0, 3);
    plan->card_turn_degrees +=
        chance(rng, 0.75) ? gsl_ran_gaussian(rng, 3.0) : between(rng, -45.0, 45.0);
}

static void draw_view(struct plan *plan, gsl_rng *rng)
{
    static const double turn[] = {3.0, 9.0, 18.0}, tilt[] = {5.0, 15.0, 30.0};
    static const double fill_low[] = {0.86, 0.78, 0.7};

    plan->width_px = whole_between(rng, 1800, 2200);
    plan->height_px = plan->width_px * 3 / 4;
    plan->turn_degrees = between(rng, -turn[plan->grade], turn[plan->grade]);
    plan->tilt_degrees =
        plan->grade == GRADE_HARD ? between(rng, 12.0, 30.0) : between(rng, 0.0, tilt[plan->grade]);
    plan->azimuth_degrees = between(rng, 0.0, 360.0);
    plan->focal_widths = between(rng, 0.72, 1.0);
    plan->distortion = between(rng, -0.03, 0.02) * (1.0 + plan->grade) / 2.0;
    plan->fill = between(rng, fill_low[plan->grade], 0.95);
    plan->desk = whole_between(rng, 0, DESKS - 1);
    plan->clutter =
        plan->grade == GRADE_EVEN ? whole_between(rng, 0, 3) : whole_between(rng, 4, 14);
    plan->curl_mm = plan->grade == GRADE_HARD && chance(rng, 0.6) ? between(rng, 3.0, 16.0) : 0.0;
}

static int draw_lamp(const struct plan *plan, gsl_rng *rng)
{
    if (plan->grade != GRADE_HARD || chance(rng, 0.55))
        return LAMP_DAYLIGHT;
    return whole_between(rng, LAMP_INCANDESCENT, LAMP_LED);
}

static void draw_light(struct plan *plan, gsl_rng *rng)
{
    plan->lamp = draw_lamp(plan, rng);
    plan->kelvin = between(rng, 5000.0, 7500.0);
    plan->second_lamp = plan->lamp == LAMP_DAYLIGHT ? whole_between(rng, 1, 3) : LAMP_DAYLIGHT;
    plan->second_share = plan->grade == GRADE_EVEN       ? 0.0
                         : plan->grade == GRADE_ORDINARY ? between(rng, 0.05, 0.12)
                                                         : between(rng, 0.08, 0.28);
    plan->falloff = plan->grade == GRADE_EVEN       ? between(rng, 0.0, 0.05)
                    : plan->grade == GRADE_ORDINARY ? between(rng, 0.15, 0.33)
                                                    : between(rng, 0.25, 0.5);
    plan->bow = plan->grade == GRADE_EVEN ? 0.0 : between(rng, 0.0, 0.06 * (1 + plan->grade));
    plan->vignetting = between(rng, 0.02, 0.05 + 0.07 * plan->grade);
    plan->shadow = plan->grade == GRADE_HARD && chance(rng, 0.5) ? between(rng, 0.15, 0.4) : 0.0;
    plan->glares = plan->grade == GRADE_HARD ? whole_between(rng, 0, 3) : 0;
    plan->flare = between(rng, 0.0, 0.006 + 0.007 * plan->grade);
}

static void draw_camera(struct plan *plan, gsl_rng *rng)
{
    static const double tone[] = {0.08, 0.3, 0.45}, noise[] = {0.012, 0.03, 0.05};
    static const double balance[] = {0.015, 0.03, 0.05};
    int grade = plan->grade;

    plan->camera = whole_between(rng, 0, cameras_count() - 1);
    plan->exposure = between(rng, grade == GRADE_HARD ? 0.55 : 0.68, 0.88);
    plan->balance_error = balance[grade];
    plan->tone = between(rng, 0.5 * tone[grade], tone[grade]);
    plan->saturation = between(rng, 1.0, 1.04 + 0.05 * grade);
    plan->blur_px = between(rng, 0.5, 0.75 + 0.2 * grade);
    plan->noise = between(rng, 0.5 * noise[grade], noise[grade]);
    plan->denoise_px = between(rng, 0.4, 0.6 + 0.2 * grade);
    plan->sharpening = between(rng, 0.2, 0.5 + 0.25 * grade);
}

static void draw_file(struct plan *plan, gsl_rng *rng)
{
    static const int quality_low[] = {90, 80, 62}, quality_high[] = {96, 92, 82};
    static const int subsampling[] = {444, 422, 420, 420};
    static const int orientations[] = {1, 1, 3, 6, 8};

    plan->format = FORMAT_JPEG;
    plan->quality = whole_between(rng, quality_low[plan->grade], quality_high[plan->grade]);
    plan->subsampling = plan->grade == GRADE_HARD ? 420 : subsampling[whole_between(rng, 0, 3)];
    plan->orientation = orientations[whole_between(rng, 0, 4)];
    plan->profile = chance(rng, 0.3) ? PROFILE_P3 : chance(rng, 0.5) ? PROFILE_SRGB : PROFILE_NONE;
    plan->dated = 1;
}

struct plan plan_draw(enum grade grade, int number)
{
    struct plan plan = {.seed = 10000 * (int)grade + number,
                        .sheet_seed = 10000 * (int)grade + number,
                        .grade = (int)grade};
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);

    gsl_rng_set(rng, (unsigned long)plan.seed + 1u);
    draw_chart(&plan, rng);
    draw_card(&plan, rng);
    draw_view(&plan, rng);
    draw_light(&plan, rng);
    draw_camera(&plan, rng);
    draw_file(&plan, rng);
    gsl_rng_free(rng);
    return plan;
}

/* One of the known half of `count` things, or of the half held out: cameras of one maker are
   alike, so the halves are not mixed; looks are all drawn alike, so they alternate. */
static void choose_half(struct plan *plan, int held_out, gsl_rng *rng)
{
    int cameras = cameras_count() / 2, looks = LOOKS / 2;

    plan->camera = held_out * cameras + whole_between(rng, 0, cameras - 1);
    plan->look = 1 + held_out + 2 * whole_between(rng, 0, looks - 1);
}

void plan_treat(struct plan *plan, enum treatment treatment, int number)
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);

    gsl_rng_set(rng, (unsigned long)plan->seed + 50000u);
    if (treatment != TREATMENT_PLAIN) {
        choose_half(plan, number % 2 == 0, rng);
        plan->smear = between(rng, 0.0, 0.02 + 0.01 * plan->grade);
        plan->halo_px = between(rng, 1.0, 2.0);
        plan->sharpening *= between(rng, 1.0, 1.5);
    }
    if (treatment == TREATMENT_PHONE) { /* invented: no measured phone stands behind these */
        plan->local_tone = between(rng, 0.04, 0.16);
        plan->local_reach = between(rng, 0.04, 0.2);
        plan->local_edge = between(rng, 0.2, 1.2);
        plan->smear *= 1.5;
        plan->halo_px += 0.5;
    }
    gsl_rng_free(rng);
}
