#include "stage.h"

#include "basics.h"

#include <math.h>
#include <string.h>

#include <gsl/gsl_math.h>
#include <gsl/gsl_randist.h>

static struct spectrum lamp_spectrum(int lamp, double kelvin)
{
    switch (lamp) {
    case LAMP_INCANDESCENT:
        return illuminant_planck(2750.0);
    case LAMP_TRIBAND:
        return illuminant_load("F11");
    case LAMP_LED:
        return illuminant_led(1.25);
    default:
        return illuminant_daylight(kelvin);
    }
}

static struct receptor make_receptor(const struct plan *plan, gsl_rng *rng)
{
    struct spectrum lights[LIGHTS] = {lamp_spectrum(plan->lamp, plan->kelvin),
                                      lamp_spectrum(plan->second_lamp, 6500.0)};
    double gain[3] = {1.0, 1.0, 1.0};

    gain[0] += gsl_ran_gaussian(rng, plan->balance_error);
    gain[2] += gsl_ran_gaussian(rng, plan->balance_error);
    return receptor_balance(plan->camera, lights, plan->second_share, gain);
}

/* A slope across the things such that the darker end gets 1 - falloff of the brighter. */
static void set_source(struct stage *stage, int source, double amount, double falloff, gsl_rng *rng)
{
    double way = gsl_ran_flat(rng, 0.0, 2.0 * M_PI), slope = falloff / (2.0 - falloff);

    stage->light.source[source].amount = amount;
    stage->light.source[source].slope_x = slope * cos(way);
    stage->light.source[source].slope_y = slope * sin(way);
    stage->light.source[source].bow = stage->plan.bow;
}

static void set_shadow(struct stage *stage, gsl_rng *rng)
{
    struct light *light = &stage->light;
    double way = gsl_ran_flat(rng, 0.0, 2.0 * M_PI);
    double far = gsl_ran_flat(rng, 0.15, 0.6) * light->reach_mm;

    light->shadow_depth = stage->plan.shadow;
    light->shadow_normal = (struct point){cos(way), sin(way)};
    light->shadow_place =
        (struct point){light->centre.x + far * cos(way), light->centre.y + far * sin(way)};
    light->shadow_softness_mm = gsl_ran_flat(rng, 12.0, 40.0);
}

/* The brightest corner of sheet and cards gets 1 in all. */
static void normalise_light(struct stage *stage)
{
    struct point corners[STAGE_CORNERS_MAX];
    double brightest = 0.0;
    int count = stage_corners(stage, corners);

    for (int i = 0; i < count; i++) {
        double amount[LIGHTS];

        light_at(&stage->light, corners[i], amount);
        brightest = fmax(brightest, amount[0] + amount[1]);
    }
    for (int i = 0; i < LIGHTS; i++)
        stage->light.source[i].amount /= brightest;
}

static void add_glare(struct light *light, struct point place, double size_mm, gsl_rng *rng)
{
    int i = light->glares++;

    light->glare[i].place = place;
    light->glare[i].radius_mm = size_mm * gsl_ran_flat(rng, 0.35, 0.7);
    light->glare[i].stretch = gsl_ran_flat(rng, 0.6, 1.6);
    light->glare[i].strength = gsl_ran_flat(rng, 0.4, 1.5);
}

/* Glare in the middle of patches and of cells, so that each spoils one. */
static void set_aimed_glares(struct stage *stage)
{
    const struct sheet *sheet = &stage->sheet[0];
    const struct card *card = &stage->card[0];
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);

    gsl_rng_set(rng, (unsigned long)stage->plan.seed + 4000u);
    for (int i = 0; i < stage->plan.card_glares && i < CARD_GLARES && stage->cards; i++) {
        int patch = (int)gsl_rng_uniform_int(rng, (unsigned long)patch_count(card->edition));

        add_glare(&stage->light, plate_desk(&card->plate, card_patch_place(card, patch, 0.0, 0.0)),
                  card->patch_mm, rng);
    }
    for (int i = 0; i < stage->plan.cell_glares && i < CELL_GLARES && stage->sheets; i++) {
        int cell = (int)gsl_rng_uniform_int(rng, (unsigned long)(sheet->rows * sheet->columns));
        double height;
        struct point middle =
            sheet_cell_middle(sheet, cell / sheet->columns, cell % sheet->columns);

        add_glare(&stage->light, sheet_in_space(sheet, middle, &height), sheet->cell_width_mm, rng);
    }
    gsl_rng_free(rng);
}

static void set_light(struct stage *stage, gsl_rng *rng)
{
    const struct plan *plan = &stage->plan;
    struct light *light = &stage->light;

    set_source(stage, 0, 1.0 - plan->second_share, plan->falloff, rng);
    set_source(stage, 1, plan->second_share, fmin(0.9, 0.35 + plan->falloff), rng);
    normalise_light(stage);
    set_shadow(stage, rng);
    light->glares = plan->glares < GLARES_ANYWHERE ? plan->glares : GLARES_ANYWHERE;
    for (int i = 0; i < light->glares; i++) {
        struct point local;

        local.x = gsl_ran_flat(rng, -0.4, 0.4) * stage->sheet[0].width_mm;
        local.y = gsl_ran_flat(rng, -0.4, 0.4) * stage->sheet[0].height_mm;
        light->glare[i].place = plate_desk(&stage->sheet[0].plate, local);
        light->glare[i].radius_mm = gsl_ran_flat(rng, 4.0, 14.0);
        light->glare[i].stretch = gsl_ran_flat(rng, 0.5, 1.8);
        light->glare[i].strength = gsl_ran_flat(rng, 0.15, 0.9);
    }
    set_aimed_glares(stage);
}

/* High things lean outwards in the photo and cast shadows, so they keep further off. */
static int stands_free(const struct stage *stage, const struct prop *prop)
{
    double gap_mm = 5.0 + 0.7 * prop->plate.height;

    for (int i = 0; i < stage->sheets; i++)
        if (!plates_apart(&prop->plate, &stage->sheet[i].plate, gap_mm))
            return 0;
    for (int i = 0; i < stage->cards; i++)
        if (!plates_apart(&prop->plate, &stage->card[i].plate, gap_mm))
            return 0;
    for (int i = 0; i < stage->props; i++)
        if (!plates_apart(&prop->plate, &stage->prop[i].plate, gap_mm))
            return 0;
    return 1;
}

static void scatter_props(struct stage *stage, const struct receptor *receptor, gsl_rng *rng)
{
    enum { TRIES = 150 };

    for (int wanted = 0; wanted < stage->plan.clutter && stage->props < PROPS_MAX; wanted++) {
        struct prop prop = prop_make(receptor, stage->plan.pads, rng);

        for (int i = 0; i < TRIES; i++) {
            double x = gsl_ran_flat(rng, -0.05, 1.05) * stage->plan.width_px;
            double y = gsl_ran_flat(rng, -0.05, 1.05) * stage->plan.height_px;
            double direction[3];

            view_ray(&stage->view, x, y, direction);
            prop.plate.centre = view_meet(&stage->view, direction, 0.0);
            if (stands_free(stage, &prop)) {
                stage->prop[stage->props++] = prop;
                break;
            }
        }
    }
}

/* The second sheet has a row of cells more, so that the two can't be taken for one another. */
static struct plan sheet_plan(const struct plan *plan, int number)
{
    struct plan own = *plan;

    if (number > 0) {
        own.rows = plan->rows < CHART_SIDE_MAX ? plan->rows + 1 : plan->rows - 1;
        own.card_place = CARD_LEFT; /* no room is kept for a card on it */
    }
    return own;
}

static void lay_out_sheets(struct stage *stage, gsl_rng *rng)
{
    for (int i = 0; i < stage->sheets || i == 0; i++) {
        struct plan own = sheet_plan(&stage->plan, i);

        sheet_lay_out(&stage->sheet[i], &own, rng);
    }
}

void stage_build(struct stage *stage, const struct plan *plan)
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937), *sheet_rng = gsl_rng_alloc(gsl_rng_mt19937);
    struct receptor receptor;
    struct spectrum white;
    double px_per_mm;

    gsl_rng_set(rng, (unsigned long)plan->seed + 1000u);
    gsl_rng_set(sheet_rng, (unsigned long)plan->sheet_seed + 2000u);
    memset(stage, 0, sizeof *stage);
    stage->plan = *plan;
    stage->sheets = plan->charts < SHEETS_MAX ? plan->charts : SHEETS_MAX;
    stage->cards = plan->cards < CARDS_MAX ? plan->cards : CARDS_MAX;
    stage->observer = observer_load();
    receptor = make_receptor(plan, rng);
    lay_out_sheets(stage, sheet_rng);
    stage_place(stage, rng);
    set_light(stage, rng);
    px_per_mm = stage->view.focal_px / stage->view.eye_height;
    for (int i = 0; i < stage->sheets || i == 0; i++) {
        struct plan own = sheet_plan(plan, i);

        sheet_print(&stage->sheet[i], &own, clamp(1.4 * px_per_mm, 6.0, 20.0), sheet_rng);
        sheet_expose(&stage->sheet[i], &receptor);
    }
    for (int i = 0; i < stage->cards; i++)
        card_expose(&stage->card[i], &stage->observer, &receptor);
    stage->desk = desk_make(plan->desk, gsl_ran_flat(rng, 0.0, 180.0), &receptor);
    scatter_props(stage, &receptor, rng);
    for (int i = 0; i < BANDS; i++)
        white.at[i] = 1.0;
    stage->mirror = receptor_see(&receptor, &white);
    gsl_rng_free(rng);
    gsl_rng_free(sheet_rng);
}

void stage_release(struct stage *stage)
{
    for (int i = 0; i < SHEETS_MAX; i++)
        sheet_release(&stage->sheet[i]);
}
