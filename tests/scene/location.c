#include "location.h"

#include "basics.h"

#include <math.h>
#include <string.h>

#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>

/* How bad it is, 0 to 1: a span for each grade, drawn from for each photo. */
struct draw {
    struct plan *plan;
    gsl_rng *rng;
    double bad;
};

static double between(gsl_rng *rng, double low, double high)
{
    return gsl_ran_flat(rng, low, high);
}

static int whole_between(gsl_rng *rng, int low, int high)
{
    return low + (int)gsl_rng_uniform_int(rng, (unsigned long)(high - low + 1));
}

/* From a mild value to the worst. */
static double worse(const struct draw *draw, double mild, double worst)
{
    return mild + draw->bad * (worst - mild);
}

static int whole_worse(const struct draw *draw, int mild, int worst)
{
    return (int)lround(worse(draw, mild, worst));
}

/* --- the sheet ------------------------------------------------------------------------------ */

static void stamped(struct draw *draw)
{
    draw->plan->mottle = worse(draw, 0.08, 0.3);
    draw->plan->softness_mm = worse(draw, 0.2, 0.8);
    draw->plan->irregularity_mm = worse(draw, 0.2, 0.8);
    draw->plan->outline = OUTLINE_NONE;
}

static void brushed(struct draw *draw)
{
    draw->plan->shape = SHAPE_BRUSHED;
    draw->plan->mottle = worse(draw, 0.08, 0.22);
    draw->plan->outline = OUTLINE_NONE;
}

static void pencil_grid(struct draw *draw)
{
    draw->plan->outline = OUTLINE_PENCIL;
    draw->plan->labels = LABELS_NONE;
    draw->plan->gap_x_mm = draw->plan->gap_y_mm = 0.0;
    draw->plan->untrue_mm = worse(draw, 0.3, 1.6);
}

/* Long swabs, as on strips: 5 to 9 times as long as wide. */
static void strips(struct draw *draw)
{
    draw->plan->cell_width_mm = 7.0;
    draw->plan->cell_height_mm = 7.0 * worse(draw, 5.0, 9.0);
    draw->plan->gap_x_mm = fmax(draw->plan->gap_x_mm, 3.0);
    draw->plan->rows = 3;
    draw->plan->labels = LABELS_NONE;
}

static void hatched(struct draw *draw)
{
    draw->plan->hatched = whole_worse(draw, 1, 3);
    draw->plan->labels = LABELS_NONE;
}

static void circles(struct draw *draw)
{
    draw->plan->shape = SHAPE_DISC;
    draw->plan->cell_height_mm = draw->plan->cell_width_mm;
}

static void touching(struct draw *draw)
{
    draw->plan->gap_x_mm = draw->plan->gap_y_mm = 0.0;
    draw->plan->labels = LABELS_NONE;
    draw->plan->outline = whole_between(draw->rng, OUTLINE_NONE, OUTLINE_PENCIL);
    draw->plan->irregularity_mm = worse(draw, 0.05, 0.35);
}

static void groups(struct draw *draw)
{
    draw->plan->group_columns = whole_between(draw->rng, 2, 4);
    draw->plan->group_rows = whole_between(draw->rng, 0, 1) ? whole_between(draw->rng, 2, 4) : 0;
    draw->plan->group_gap_mm = worse(draw, 2.0, 0.75 * draw->plan->cell_width_mm);
    draw->plan->columns = whole_between(draw->rng, 4, 10);
    draw->plan->rows = whole_between(draw->rng, 4, 10);
}

static void labels_under(struct draw *draw)
{
    draw->plan->labels = LABELS_UNDER;
    draw->plan->gap_y_mm = worse(draw, 7.0, 4.6);
    draw->plan->title = 1;
}

static void labels_beside(struct draw *draw)
{
    draw->plan->labels = LABELS_BESIDE;
    draw->plan->gap_x_mm = worse(draw, 12.0, 26.0);
    draw->plan->gap_y_mm = between(draw->rng, 1.0, 5.0);
    draw->plan->columns = whole_between(draw->rng, 2, 6);
}

static void labels_inside(struct draw *draw)
{
    draw->plan->labels = LABELS_INSIDE;
}

static void last_row(struct draw *draw)
{
    draw->plan->blank_part = 0.0;
    draw->plan->missing = whole_between(draw->rng, 1, draw->plan->columns);
}

static void blanks(struct draw *draw)
{
    draw->plan->blank_part = worse(draw, 0.2, 0.4);
}

static void all_pale(struct draw *draw)
{
    draw->plan->palette = PALETTE_PALE;
}

static void all_dark(struct draw *draw)
{
    draw->plan->palette = PALETTE_DARK;
}

static void greys(struct draw *draw)
{
    draw->plan->palette = PALETTE_GREYS;
    draw->plan->rows = whole_between(draw->rng, 3, 5);
    draw->plan->columns = whole_between(draw->rng, 3, 6);
}

static void two_charts(struct draw *draw)
{
    draw->plan->charts = 2;
    draw->plan->rows = whole_between(draw->rng, 3, 6);
    draw->plan->columns = whole_between(draw->rng, 3, 6);
}

static void curl(struct draw *draw)
{
    draw->plan->curl_mm = worse(draw, 3.0, 15.0);
    draw->plan->curl_both = whole_between(draw->rng, 0, 1);
    if (draw->plan->card_place == CARD_ON)
        draw->plan->card_place = CARD_LEFT;
}

static void sheet_turned(struct draw *draw)
{
    draw->plan->sheet_turn_degrees =
        90.0 * whole_between(draw->rng, 0, 3) + between(draw->rng, -1.0, 1.0) * worse(draw, 8, 35);
    draw->plan->blank_part = fmax(draw->plan->blank_part, 0.12); /* which tell how it lies */
}

/* --- the card ------------------------------------------------------------------------------- */

static void beside_the_sheet(struct draw *draw)
{
    if (draw->plan->card_place == CARD_ON)
        draw->plan->card_place = whole_between(draw->rng, CARD_LEFT, CARD_BELOW);
}

static void card_small(struct draw *draw)
{
    beside_the_sheet(draw);
    draw->plan->card_share = worse(draw, 0.12, 0.04);
    draw->plan->width_px = 2400;
    draw->plan->height_px = 1800;
}

static void card_large(struct draw *draw)
{
    beside_the_sheet(draw);
    draw->plan->card_share = worse(draw, 0.3, 0.6);
    draw->plan->rows = whole_between(draw->rng, 3, 6);
    draw->plan->columns = whole_between(draw->rng, 2, 5);
}

static void card_turned(struct draw *draw)
{
    draw->plan->card_turn_degrees = between(draw->rng, 0.0, 360.0);
}

static void card_faded(struct draw *draw)
{
    draw->plan->card_print = CARD_FADED;
    draw->plan->card_wear = worse(draw, 0.1, 1.0);
}

static void card_glossy(struct draw *draw)
{
    draw->plan->card_print = CARD_GLOSSY;
    draw->plan->card_wear = worse(draw, 0.1, 1.0);
}

static void covered(struct draw *draw)
{
    int patches = whole_worse(draw, 1, 8);

    draw->plan->covered = patches == 7 ? 6 : patches;
}

static void two_cards(struct draw *draw)
{
    beside_the_sheet(draw);
    draw->plan->cards = 2;
}

static void card_missing(struct draw *draw)
{
    draw->plan->cards = 0;
}

static void chart_missing(struct draw *draw)
{
    draw->plan->charts = 0;
}

/* --- the camera ----------------------------------------------------------------------------- */

static void tilt(struct draw *draw)
{
    draw->plan->tilt_degrees = worse(draw, 12.0, 35.0);
}

static void turned(struct draw *draw)
{
    draw->plan->turn_degrees = between(draw->rng, -180.0, 180.0);
    draw->plan->blank_part = fmax(draw->plan->blank_part, 0.12);
}

static void barrel(struct draw *draw)
{
    draw->plan->distortion = worse(draw, -0.02, -0.08);
    draw->plan->fill = 0.95;
}

static void pincushion(struct draw *draw)
{
    draw->plan->distortion = worse(draw, 0.015, 0.06);
    draw->plan->fill = 0.95;
}

static void motion(struct draw *draw)
{
    draw->plan->motion_px = worse(draw, 1.5, 5.0);
    draw->plan->motion_degrees = between(draw->rng, 0.0, 180.0);
}

static void defocus(struct draw *draw)
{
    draw->plan->defocus_px = worse(draw, 1.0, 3.0);
}

static void heavy_jpeg(struct draw *draw)
{
    draw->plan->quality = whole_worse(draw, 60, 22);
    draw->plan->subsampling = 420;
}

static void megapixel(struct draw *draw)
{
    draw->plan->width_px = 1154;
    draw->plan->height_px = 866;
}

static void many_megapixels(struct draw *draw)
{
    double megapixels = worse(draw, 5.0, 20.0);

    draw->plan->width_px = (int)sqrt(megapixels * 1e6 * 4.0 / 3.0);
    draw->plan->height_px = draw->plan->width_px * 3 / 4;
}

static void mirrored(struct draw *draw)
{
    draw->plan->mirrored = 1;
}

/* --- the light and the desk ----------------------------------------------------------------- */

static void shadow(struct draw *draw)
{
    draw->plan->shadow = worse(draw, 0.15, 0.55);
}

static void card_glare(struct draw *draw)
{
    draw->plan->card_glares = whole_worse(draw, 1, 3);
}

static void cell_glare(struct draw *draw)
{
    draw->plan->cell_glares = whole_worse(draw, 1, 4);
}

static void ink_pads(struct draw *draw)
{
    draw->plan->pads = 1;
    draw->plan->clutter = whole_worse(draw, 8, 24);
    draw->plan->fill = 0.7;
}

static const struct {
    const char *label;
    void (*apply)(struct draw *draw);
} items[] = {
    {"stamped", stamped},
    {"brushed", brushed},
    {"pencil-grid", pencil_grid},
    {"circles", circles},
    {"touching", touching},
    {"groups", groups},
    {"labels-under", labels_under},
    {"labels-beside", labels_beside},
    {"labels-inside", labels_inside},
    {"last-row", last_row},
    {"blanks", blanks},
    {"pale", all_pale},
    {"dark", all_dark},
    {"greys", greys},
    {"two-charts", two_charts},
    {"curl", curl},
    {"sheet-turned", sheet_turned},
    {"card-small", card_small},
    {"card-large", card_large},
    {"card-turned", card_turned},
    {"card-faded", card_faded},
    {"card-glossy", card_glossy},
    {"covered", covered},
    {"two-cards", two_cards},
    {"card-missing", card_missing},
    {"chart-missing", chart_missing},
    {"tilt", tilt},
    {"turned", turned},
    {"barrel", barrel},
    {"pincushion", pincushion},
    {"motion", motion},
    {"defocus", defocus},
    {"heavy-jpeg", heavy_jpeg},
    {"megapixel", megapixel},
    {"many-megapixels", many_megapixels},
    {"mirrored", mirrored},
    {"shadow", shadow},
    {"card-glare", card_glare},
    {"cell-glare", cell_glare},
    {"ink-pads", ink_pads},
    {"strips", strips},
    {"hatched", hatched},
};

int items_count(void)
{
    return (int)(sizeof items / sizeof *items);
}

const char *item_label(int item)
{
    return items[item - 1].label;
}

int item_number(const char *label)
{
    for (int item = 1; item <= items_count(); item++)
        if (!strcmp(item_label(item), label))
            return item;
    fail("there is no item '%s'", label);
}

int location_item(int number)
{
    return 1 + (number - 1) % items_count();
}

/* Every other photo has clean edges, so that it is known to a hair where they are. */
static void sharpen_edges(struct plan *plan)
{
    plan->softness_mm = 0.12;
    plan->irregularity_mm = 0.04;
}

struct plan location_draw(enum grade grade, int number, int item)
{
    enum { AWAY_FROM_ACCURACY = 3000 };
    static const double mild[] = {0.0, 0.3, 0.65}, worst[] = {0.3, 0.65, 1.0};
    struct plan plan = plan_draw(grade, AWAY_FROM_ACCURACY + number);
    struct draw draw = {&plan, gsl_rng_alloc(gsl_rng_mt19937), 0.0};

    gsl_rng_set(draw.rng, (unsigned long)plan.seed + 5000u);
    draw.bad = between(draw.rng, mild[grade], worst[grade]);
    plan.width_px = whole_between(draw.rng, 1540, 1760);
    plan.height_px = plan.width_px * 3 / 4;
    plan.item = item;
    plan.edition = 1;
    if ((number - 1) / items_count() % 2 == 0)
        sharpen_edges(&plan);
    items[item - 1].apply(&draw);
    gsl_rng_free(draw.rng);
    return plan;
}
