#include "sheet.h"

#include "basics.h"

#include <math.h>
#include <stdlib.h>

#include <gsl/gsl_math.h>
#include <gsl/gsl_randist.h>

static double between(gsl_rng *rng, double low, double high)
{
    return gsl_ran_flat(rng, low, high);
}

struct candidate {
    int ink;
    double lightness;
};

static int compare_lightness(const void *first, const void *second)
{
    const struct candidate *a = first, *b = second;

    return (a->lightness < b->lightness) - (a->lightness > b->lightness);
}

/* Every ink, in colour order with its thinned sister behind it; or the full ones alone. */
static int list_candidates(struct candidate candidates[], int thinned)
{
    struct spectrum paper = paper_reflectance(PAPER_WHITE);
    struct observer observer = observer_load();
    int full = inks_full_count(), count = 0;

    for (int i = 0; i < full; i++)
        for (int ink = i; ink < (thinned ? 2 * full : full); ink += full) {
            struct spectrum spectrum = ink_reflectance(ink, &paper, 1.0);
            double lab[3];

            observer_lab(&observer, &spectrum, lab);
            candidates[count++] = (struct candidate){ink, lab[0]};
        }
    return count;
}

/* Ink numbers in the order they go onto the sheet, none twice. */
static void choose_inks(const struct plan *plan, int inks[], int count, gsl_rng *rng)
{
    enum { PALE_AT_LEAST = 36, CANDIDATES_MAX = 256 };
    struct candidate candidates[CANDIDATES_MAX];
    int pale = plan->palette == PALETTE_PALE;
    int found = list_candidates(candidates, pale || count > inks_full_count());

    if (pale) {
        qsort(candidates, (size_t)found, sizeof *candidates, compare_lightness);
        found = count > PALE_AT_LEAST ? count : PALE_AT_LEAST;
    }
    if (plan->palette != PALETTE_ORDER)
        gsl_ran_shuffle(rng, candidates, (size_t)found, sizeof *candidates);
    for (int i = 0; i < count; i++)
        inks[i] = candidates[plan->palette == PALETTE_ORDER ? i * found / count : i].ink;
}

static void stamp_cell(struct sheet *sheet, const struct plan *plan, int cell, gsl_rng *rng)
{
    struct cell *stamped = &sheet->cells[cell];
    struct point corner = sheet_cell_corner(sheet, cell / sheet->columns, cell % sheet->columns);
    double inset = plan->outline == OUTLINE_NONE ? 0.0 : between(rng, 0.3, 1.6);
    double turn = gsl_ran_gaussian(rng, 0.4 * plan->irregularity_mm) * M_PI / 180.0;

    stamped->stamp_centre.x =
        corner.x + sheet->cell_width_mm / 2.0 + gsl_ran_gaussian(rng, 0.3 * plan->irregularity_mm);
    stamped->stamp_centre.y =
        corner.y + sheet->cell_height_mm / 2.0 + gsl_ran_gaussian(rng, 0.3 * plan->irregularity_mm);
    stamped->half_width = sheet->cell_width_mm / 2.0 - inset;
    stamped->half_height = sheet->cell_height_mm / 2.0 - inset;
    stamped->cosine = cos(turn);
    stamped->sine = sin(turn);
    stamped->density = between(rng, 0.88, 1.1);
    stamped->mottle = plan->mottle * between(rng, 0.4, 1.3);
    stamped->seed = (unsigned)gsl_rng_uniform_int(rng, 1000000);
}

/* Wet ink is deeper; a new pad is stamped anew, and every third ink of it is weaker. */
static void change_density(struct sheet *sheet, const struct plan *plan, int cell)
{
    struct cell *stamped = &sheet->cells[cell];
    int repeats = plan->repeats > 1 ? plan->repeats : 1;
    gsl_rng *rng;

    if (cell % 4 != 3)
        stamped->density *= 1.0 + 0.35 * plan->wet;
    if (!plan->batch || cell % repeats < repeats / 2)
        return;
    rng = gsl_rng_alloc(gsl_rng_mt19937);
    gsl_rng_set(rng, (unsigned long)(plan->batch * 1000 + cell));
    stamped->density *= between(rng, 0.98, 1.02);
    stamped->density *= cell / repeats % 3 == 0 ? 0.7 : 1.0;
    gsl_rng_free(rng);
}

static void fill_cells(struct sheet *sheet, const struct plan *plan, gsl_rng *rng)
{
    int count = sheet->rows * sheet->columns, inks[CELLS_MAX];

    choose_inks(plan, inks, count, rng);
    for (int cell = 0; cell < count; cell++) {
        sheet->cells[cell].ink = inks[plan->repeats > 1 ? cell / plan->repeats : cell];
        stamp_cell(sheet, plan, cell, rng);
        change_density(sheet, plan, cell);
        if (gsl_rng_uniform(rng) < plan->blank_part)
            sheet->cells[cell].ink = NO_INK;
    }
}

static void set_curl(struct sheet *sheet, const struct plan *plan, gsl_rng *rng)
{
    static const struct point sides[4] = {{1, 0}, {-1, 0}, {0, 1}, {0, -1}};
    double half, reach;

    sheet->lift = sides[gsl_rng_uniform_int(rng, 4)];
    half =
        fabs(sheet->lift.x) * sheet->width_mm / 2.0 + fabs(sheet->lift.y) * sheet->height_mm / 2.0;
    reach = half * between(rng, 0.8, 1.5);
    sheet->lift_start_mm = half - reach;
    sheet->bend_per_mm = plan->card_place == CARD_ON ? 0.0 : plan->curl_mm / (reach * reach);
}

/* Leave room for the card, below the chart or beside it, whichever keeps the sheet compact. */
static void leave_room(struct sheet *sheet, const struct plan *plan)
{
    double turn = plan->card_turn_degrees * M_PI / 180.0;
    double width = 6.6 * plan->card_pitch_mm, height = 4.6 * plan->card_pitch_mm;
    double room_x = fabs(cos(turn)) * width + fabs(sin(turn)) * height + 14.0;
    double room_y = fabs(sin(turn)) * width + fabs(cos(turn)) * height + 14.0;

    if (sheet->width_mm > sheet->height_mm) {
        sheet->room = (struct point){sheet->width_mm / 2.0, sheet->height_mm + room_y / 2.0 - 3.0};
        sheet->height_mm += room_y;
        sheet->width_mm = fmax(sheet->width_mm, room_x);
    } else {
        sheet->room = (struct point){sheet->width_mm + room_x / 2.0 - 3.0, sheet->height_mm / 2.0};
        sheet->width_mm += room_x;
        sheet->height_mm = fmax(sheet->height_mm, room_y);
    }
}

void sheet_lay_out(struct sheet *sheet, const struct plan *plan, gsl_rng *rng)
{
    double margin = between(rng, 9.0, 18.0), head = plan->title ? 19.0 : between(rng, 8.0, 16.0);

    sheet->rows = plan->rows;
    sheet->columns = plan->columns;
    sheet->cell_width_mm = plan->cell_width_mm;
    sheet->cell_height_mm = plan->cell_height_mm;
    sheet->pitch_x_mm = plan->cell_width_mm + plan->gap_x_mm;
    sheet->pitch_y_mm = plan->cell_height_mm + plan->gap_y_mm;
    sheet->softness_mm = plan->softness_mm;
    sheet->irregularity_mm = plan->irregularity_mm;
    sheet->first = (struct point){margin, head};
    sheet->width_mm = 2.0 * margin + sheet->pitch_x_mm * plan->columns - plan->gap_x_mm;
    sheet->height_mm = head + sheet->pitch_y_mm * plan->rows - plan->gap_y_mm + 9.0 + margin / 2.0;
    if (plan->card_place == CARD_ON && plan->cards > 0)
        leave_room(sheet, plan);
    sheet->paper = paper_reflectance((enum paper)plan->paper);
    set_curl(sheet, plan, rng);
    fill_cells(sheet, plan, rng);
}

static void outline_cell(struct sheet *sheet, const struct plan *plan, int cell, gsl_rng *rng)
{
    struct point a = sheet_cell_corner(sheet, cell / sheet->columns, cell % sheet->columns);
    struct point b = {a.x + sheet->cell_width_mm, a.y + sheet->cell_height_mm};
    struct point corners[5] = {a, {b.x, a.y}, b, {a.x, b.y}, a};
    struct stroke printed = {TOOL_BLACK, 0.3, 0.9}, pencil = {TOOL_BLACK, 0.4, 0.45};

    for (int i = 0; i < 4; i++) {
        unsigned seed = (unsigned)gsl_rng_uniform_int(rng, 1000000);

        if (plan->outline == OUTLINE_PENCIL)
            print_sketch(&sheet->print, corners[i], corners[i + 1], &pencil, seed);
        else
            print_line(&sheet->print, corners[i], corners[i + 1], &printed);
    }
}

static void label_cell(struct sheet *sheet, const struct plan *plan, int cell)
{
    struct point corner = sheet_cell_corner(sheet, cell / sheet->columns, cell % sheet->columns);
    struct stroke type = {TOOL_BLACK, 0.26, 0.85};
    char name[INK_NAME_SIZE];

    if (sheet->cells[cell].ink == NO_INK)
        return;
    corner.y += sheet->cell_height_mm + 1.3;
    corner.x += 0.03 * sheet->cell_width_mm;
    ink_name(sheet->cells[cell].ink, name);
    print_text(&sheet->print, corner, 0.94 * sheet->cell_width_mm, fmin(2.2, plan->gap_y_mm - 2.2),
               name, &type);
}

/* A pen stroke or a blot somewhere on the chart. */
static void add_mark(struct sheet *sheet, gsl_rng *rng)
{
    double across = between(rng, 0.1, 0.9), down = between(rng, 0.1, 0.9);
    struct point from = {across * sheet->width_mm, down * sheet->height_mm};
    struct stroke pen = {TOOL_PEN, 0.6, 0.9}, blot = {TOOL_PEN, between(rng, 1.5, 4.0), 0.85};
    double way = between(rng, 0.0, 2.0 * M_PI), length = between(rng, 4.0, 18.0);

    if (gsl_rng_uniform(rng) < 0.4)
        print_line(&sheet->print, from, (struct point){from.x + 0.6, from.y + 0.3}, &blot);
    else
        print_sketch(&sheet->print, from,
                     (struct point){from.x + length * cos(way), from.y + length * sin(way)}, &pen,
                     (unsigned)gsl_rng_uniform_int(rng, 1000000));
}

void sheet_print(struct sheet *sheet, const struct plan *plan, double px_per_mm, gsl_rng *rng)
{
    struct stroke type = {TOOL_BLACK, 0.5, 0.9};
    double width = sheet->pitch_x_mm * sheet->columns;

    print_start(&sheet->print, sheet->width_mm, sheet->height_mm, px_per_mm);
    for (int cell = 0; cell < sheet->rows * sheet->columns; cell++) {
        if (plan->outline != OUTLINE_NONE)
            outline_cell(sheet, plan, cell, rng);
        if (plan->labels && plan->gap_y_mm >= 3.5)
            label_cell(sheet, plan, cell);
    }
    if (plan->title)
        print_text(&sheet->print, (struct point){sheet->first.x, 7.0}, fmin(width, 150.0), 4.2,
                   "Thistlewick seed packet inks", &type);
    for (int i = 0; i < plan->marks; i++)
        add_mark(sheet, rng);
}
