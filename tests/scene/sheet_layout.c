#include "sheet.h"

#include "basics.h"
#include "card.h"

#include <math.h>
#include <stdlib.h>

#include <gsl/gsl_math.h>
#include <gsl/gsl_randist.h>

static double between(gsl_rng *rng, double low, double high)
{
    return gsl_ran_flat(rng, low, high);
}

/* An ink, and how well it suits a palette that takes only some. */
struct candidate {
    int ink;
    double suits;
};

static int compare_suits(const void *first, const void *second)
{
    const struct candidate *a = first, *b = second;

    return (a->suits < b->suits) - (a->suits > b->suits);
}

static double suits(int palette, const double lab[3])
{
    return palette == PALETTE_DARK    ? -lab[0]
           : palette == PALETTE_GREYS ? -hypot(lab[1], lab[2])
                                      : lab[0];
}

/* Every ink, in colour order with its thinned sister behind it; or the full ones alone. */
static int list_candidates(struct candidate candidates[], int palette, int thinned)
{
    struct spectrum paper = paper_reflectance(PAPER_WHITE);
    struct observer observer = observer_load();
    int full = inks_full_count(), count = 0;

    for (int i = 0; i < full; i++)
        for (int ink = i; ink < (thinned ? 2 * full : full); ink += full) {
            struct spectrum spectrum = ink_reflectance(ink, &paper, 1.0);
            double lab[3];

            observer_lab(&observer, &spectrum, lab);
            candidates[count++] = (struct candidate){ink, suits(palette, lab)};
        }
    return count;
}

/* Ink numbers in the order they go onto the sheet, none twice. */
static void choose_inks(const struct plan *plan, int inks[], int count, gsl_rng *rng)
{
    enum { CANDIDATES_MAX = 256 };
    static const int at_least[] = {[PALETTE_PALE] = 36, [PALETTE_DARK] = 30, [PALETTE_GREYS] = 16};
    struct candidate candidates[CANDIDATES_MAX];
    int some = plan->palette >= PALETTE_PALE;
    int found = list_candidates(candidates, plan->palette, some || count > inks_full_count());

    if (some) {
        qsort(candidates, (size_t)found, sizeof *candidates, compare_suits);
        found = count > at_least[plan->palette] ? count : at_least[plan->palette];
    }
    if (plan->palette != PALETTE_ORDER)
        gsl_ran_shuffle(rng, candidates, (size_t)found, sizeof *candidates);
    for (int i = 0; i < count; i++)
        inks[i] = candidates[plan->palette == PALETTE_ORDER ? i * found / count : i].ink;
}

static void stamp_cell(struct sheet *sheet, const struct plan *plan, int cell, gsl_rng *rng)
{
    struct cell *stamped = &sheet->cells[cell];
    struct point middle = sheet_cell_middle(sheet, cell / sheet->columns, cell % sheet->columns);
    double inset = plan->outline == OUTLINE_NONE ? 0.0 : between(rng, 0.3, 1.6);
    double turn = gsl_ran_gaussian(rng, 0.4 * plan->irregularity_mm) * M_PI / 180.0;

    stamped->stamp_centre.x = middle.x + gsl_ran_gaussian(rng, 0.3 * plan->irregularity_mm);
    stamped->stamp_centre.y = middle.y + gsl_ran_gaussian(rng, 0.3 * plan->irregularity_mm);
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
        sheet->cells[cell].hatched = cell % sheet->columns >= sheet->columns - plan->hatched;
        if (gsl_rng_uniform(rng) < plan->blank_part)
            sheet->cells[cell].ink = NO_INK;
    }
    for (int cell = count - plan->missing; cell < count; cell++)
        if (cell >= 0)
            sheet->cells[cell].ink = NO_INK;
}

/* Where columns and rows start; what is wider between groups, and out of true. */
static void set_grid(struct sheet *sheet, const struct plan *plan)
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);

    gsl_rng_set(rng, (unsigned long)plan->sheet_seed + 3000u);
    for (int i = 0; i < CHART_SIDE_MAX; i++) {
        int groups_before = plan->group_columns ? i / plan->group_columns : 0;
        int groups_above = plan->group_rows ? i / plan->group_rows : 0;

        sheet->column_x[i] =
            sheet->first.x + i * sheet->pitch_x_mm + groups_before * plan->group_gap_mm;
        sheet->row_y[i] =
            sheet->first.y + i * sheet->pitch_y_mm + groups_above * plan->group_gap_mm;
    }
    sheet->untrue = plan->untrue_mm > 0.0;
    for (int i = 0; i <= CHART_SIDE_MAX && sheet->untrue; i++) {
        sheet->across[i].start_mm = between(rng, -plan->untrue_mm, plan->untrue_mm);
        sheet->across[i].end_mm = between(rng, -plan->untrue_mm, plan->untrue_mm);
        sheet->down[i].start_mm = between(rng, -plan->untrue_mm, plan->untrue_mm);
        sheet->down[i].end_mm = between(rng, -plan->untrue_mm, plan->untrue_mm);
    }
    gsl_rng_free(rng);
}

static void set_curl(struct sheet *sheet, const struct plan *plan, gsl_rng *rng)
{
    static const struct point sides[4] = {{1, 0}, {-1, 0}, {0, 1}, {0, -1}};
    double half, reach;

    sheet->lift = sides[gsl_rng_uniform_int(rng, 4)];
    half =
        fabs(sheet->lift.x) * sheet->width_mm / 2.0 + fabs(sheet->lift.y) * sheet->height_mm / 2.0;
    reach = half * between(rng, 0.8, 1.5);
    sheet->lift_both = plan->curl_both;
    if (sheet->lift_both)
        reach = fmin(reach, 0.9 * half);
    sheet->lift_start_mm = half - reach;
    sheet->bend_per_mm = plan->card_place == CARD_ON ? 0.0 : plan->curl_mm / (reach * reach);
}

/* Leave room for the card, below the chart or beside it, whichever keeps the sheet compact. */
static void leave_room(struct sheet *sheet, const struct plan *plan)
{
    double turn = plan->card_turn_degrees * M_PI / 180.0;
    double width = card_width_mm((enum edition)plan->edition, plan->card_pitch_mm);
    double height = card_height_mm((enum edition)plan->edition, plan->card_pitch_mm);
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
    double beside = plan->labels == LABELS_BESIDE ? plan->gap_x_mm : 0.0;

    sheet->rows = plan->rows;
    sheet->columns = plan->columns;
    sheet->cell_width_mm = plan->cell_width_mm;
    sheet->cell_height_mm = plan->cell_height_mm;
    sheet->pitch_x_mm = plan->cell_width_mm + plan->gap_x_mm;
    sheet->pitch_y_mm = plan->cell_height_mm + plan->gap_y_mm;
    sheet->softness_mm = plan->softness_mm;
    sheet->irregularity_mm = plan->irregularity_mm;
    sheet->veil = plan->sheet_veil;
    sheet->first = (struct point){margin, head};
    sheet->shape = plan->shape;
    set_grid(sheet, plan);
    sheet->width_mm = 2.0 * margin + sheet->pitch_x_mm * plan->columns - plan->gap_x_mm + beside;
    sheet->height_mm = head + sheet->pitch_y_mm * plan->rows - plan->gap_y_mm + 9.0 + margin / 2.0;
    if (plan->group_columns)
        sheet->width_mm += (plan->columns - 1) / plan->group_columns * plan->group_gap_mm;
    if (plan->group_rows)
        sheet->height_mm += (plan->rows - 1) / plan->group_rows * plan->group_gap_mm;
    if (plan->card_place == CARD_ON && plan->cards > 0)
        leave_room(sheet, plan);
    sheet->paper = paper_reflectance((enum paper)plan->paper);
    set_curl(sheet, plan, rng);
    fill_cells(sheet, plan, rng);
}

static void outline_cell(struct sheet *sheet, const struct plan *plan, int cell, gsl_rng *rng)
{
    int row = cell / sheet->columns, column = cell % sheet->columns;
    struct stroke printed = {TOOL_BLACK, 0.3, 0.9}, pencil = {TOOL_BLACK, 0.4, 0.45};

    for (int i = 0; i < 4; i++) {
        unsigned seed = (unsigned)gsl_rng_uniform_int(rng, 1000000);
        struct point from = sheet_cell_vertex(sheet, row, column, i);
        struct point to = sheet_cell_vertex(sheet, row, column, (i + 1) % 4);
        int shared = (i == 0 && row > 0 && plan->gap_y_mm <= 0.0) ||
                     (i == 3 && column > 0 && plan->gap_x_mm <= 0.0);

        if (plan->outline == OUTLINE_PENCIL && !shared)
            print_sketch(&sheet->print, from, to, &pencil, seed);
        else if (!shared)
            print_line(&sheet->print, from, to, &printed);
    }
}

static void label_cell(struct sheet *sheet, const struct plan *plan, int cell)
{
    struct point corner = sheet_cell_corner(sheet, cell / sheet->columns, cell % sheet->columns);
    struct stroke type = {TOOL_BLACK, 0.26, 0.85};
    double width_mm = 0.94 * sheet->cell_width_mm, height_mm = 2.2;
    char name[INK_NAME_SIZE];

    if (sheet->cells[cell].ink == NO_INK)
        return;
    if (plan->labels == LABELS_BESIDE) {
        corner.x += sheet->cell_width_mm + 1.2;
        corner.y += sheet->cell_height_mm / 2.0 - 1.0;
        width_mm = plan->gap_x_mm - 2.4;
    } else if (plan->labels == LABELS_INSIDE) {
        corner.x += 0.03 * sheet->cell_width_mm;
        corner.y += 0.72 * sheet->cell_height_mm;
    } else {
        corner.y += sheet->cell_height_mm + 1.3;
        corner.x += 0.03 * sheet->cell_width_mm;
        height_mm = fmin(2.2, plan->gap_y_mm - 2.2);
    }
    ink_name(sheet->cells[cell].ink, name);
    print_text(&sheet->print, corner, width_mm, height_mm, name, &type);
}

static int has_room_for_labels(const struct plan *plan)
{
    return plan->labels == LABELS_INSIDE ||
           (plan->labels == LABELS_BESIDE ? plan->gap_x_mm >= 8.0 : plan->gap_y_mm >= 3.5);
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
        if (plan->labels && has_room_for_labels(plan))
            label_cell(sheet, plan, cell);
    }
    if (plan->title)
        print_text(&sheet->print, (struct point){sheet->first.x, 7.0}, fmin(width, 150.0), 4.2,
                   "Thistlewick seed packet inks", &type);
    for (int i = 0; i < plan->marks; i++)
        add_mark(sheet, rng);
}
