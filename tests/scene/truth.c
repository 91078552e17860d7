#include "truth.h"

#include "basics.h"
#include "location.h"

#include <math.h>
#include <stdio.h>

#include <gsl/gsl_math.h>

static struct point seen_at(const struct stage *stage, struct point desk, double height_mm)
{
    struct point seen = view_project(&stage->view, desk, height_mm);

    if (stage->plan.mirrored)
        seen.x = stage->view.width_px - seen.x;
    return seen;
}

static struct point patch_seen(const struct stage *stage, const struct card *card, int patch,
                               double across, double down)
{
    return seen_at(stage, plate_desk(&card->plate, card_patch_place(card, patch, across, down)),
                   card->plate.height);
}

static struct point sheet_seen(const struct stage *stage, const struct sheet *sheet,
                               struct point place)
{
    double height_mm;
    struct point desk = sheet_in_space(sheet, place, &height_mm);

    return seen_at(stage, desk, height_mm);
}

/* Items of a second sheet or card say so. */
static const char *which(int number)
{
    return number ? "second_" : "";
}

static void write_card(FILE *file, const struct stage *stage, int number)
{
    const struct card *card = &stage->card[number];
    const int patches = patch_count(card->edition), columns = card->grid.columns;
    const struct {
        int patch;
        double across, down;
    } corners[4] = {
        {0, -1, -1}, {columns - 1, 1, -1}, {patches - 1, 1, 1}, {patches - columns, -1, 1}};

    for (int i = 0; i < 4; i++) {
        struct point seen =
            patch_seen(stage, card, corners[i].patch, corners[i].across, corners[i].down);

        fprintf(file, "%scard_corner,%d,,,,%.3f,%.3f,,,\n", which(number), i + 1, seen.x, seen.y);
    }
    for (int patch = 0; patch < patches; patch++) {
        struct point seen = patch_seen(stage, card, patch, 0.0, 0.0);
        const double *lab = patch_lab(card->edition, patch);

        fprintf(file, "%spatch,%d,,%s,%s,%.3f,%.3f,%.3f,%.3f,%.3f\n", which(number), patch + 1,
                patch_name(card->edition, patch),
                card_patch_covered(card, patch) ? "covered" : "seen", seen.x, seen.y, lab[0],
                lab[1], lab[2]);
    }
}

/* The ink's own outline, and whether its edge is clean enough to hold a reading against. */
static void write_painted(FILE *file, const struct stage *stage, int number, int cell)
{
    enum { CLEAN_SOFTNESS_UM = 200, CLEAN_IRREGULARITY_UM = 100 };
    const struct sheet *sheet = &stage->sheet[number];
    struct point points[STAMP_DISC_POINTS];
    int count = sheet_stamp_outline(sheet, cell, points);
    int sharp = count == STAMP_CORNERS && 1000.0 * sheet->softness_mm <= CLEAN_SOFTNESS_UM &&
                1000.0 * sheet->irregularity_mm <= CLEAN_IRREGULARITY_UM;

    for (int i = 0; i < count; i++) {
        struct point seen = sheet_seen(stage, sheet, points[i]);

        fprintf(file, "%spainted,%d,%d,%d,%s,%.3f,%.3f,,,\n", which(number),
                cell / sheet->columns + 1, cell % sheet->columns + 1, i + 1,
                sharp ? "sharp" : "soft", seen.x, seen.y);
    }
}

static void write_cell(FILE *file, const struct stage *stage, int number, int row, int column)
{
    const struct sheet *sheet = &stage->sheet[number];
    int cell = row * sheet->columns + column, ink = sheet->cells[cell].ink;
    struct point middle = sheet_cell_middle(sheet, row, column), seen;
    char name[INK_NAME_SIZE] = "";
    double lab[3];

    if (ink != NO_INK)
        ink_name(ink, name);
    seen = sheet_seen(stage, sheet, middle);
    sheet_cell_lab(sheet, &stage->observer, cell, lab);
    fprintf(file, "%scell,%d,%d,%s,%s,%.3f,%.3f,%.3f,%.3f,%.3f\n", which(number), row + 1,
            column + 1, name, ink == NO_INK ? "empty" : "ink", seen.x, seen.y, lab[0], lab[1],
            lab[2]);
    for (int corner = 0; corner < 4; corner++) {
        seen = sheet_seen(stage, sheet, sheet_cell_vertex(sheet, row, column, corner));
        fprintf(file, "%scell_corner,%d,%d,%d,,%.3f,%.3f,,,\n", which(number), row + 1, column + 1,
                corner + 1, seen.x, seen.y);
    }
    if (stage->plan.item && ink != NO_INK)
        write_painted(file, stage, number, cell);
}

/* A corner of the chart, 0 to 3 clockwise from the sheet's own top left. */
static struct point chart_corner_seen(const struct stage *stage, int number, int corner)
{
    const struct sheet *sheet = &stage->sheet[number];
    int row = corner >= 2 ? sheet->rows - 1 : 0;
    int column = corner == 1 || corner == 2 ? sheet->columns - 1 : 0;

    return sheet_seen(stage, sheet, sheet_cell_vertex(sheet, row, column, corner));
}

static void write_chart(FILE *file, const struct stage *stage, int number)
{
    const struct sheet *sheet = &stage->sheet[number];

    for (int i = 0; i < 4; i++) {
        struct point seen = chart_corner_seen(stage, number, i);

        fprintf(file, "%schart_corner,%d,,,,%.3f,%.3f,,,\n", which(number), i + 1, seen.x, seen.y);
    }
    for (int row = 0; row < sheet->rows; row++)
        for (int column = 0; column < sheet->columns; column++)
            write_cell(file, stage, number, row, column);
}

/* Quarter turns clockwise that a sheet lies off upright, as the photo stands: 0 to 3. */
static int quarter_turns(const struct stage *stage, int number)
{
    struct point left = chart_corner_seen(stage, number, 0);
    struct point right = chart_corner_seen(stage, number, 1);
    double degrees = atan2(right.y - left.y, right.x - left.x) * 180.0 / M_PI;

    return ((int)lround(degrees / 90.0) + 4) % 4;
}

static void write_scene(FILE *file, const struct stage *stage)
{
    const struct plan *plan = &stage->plan;
    const char *edition = edition_label((enum edition)plan->edition);

    if (!plan->item) {
        fprintf(file, "scene,,,%s,%s,,,,,\n", grade_label(plan->grade), edition);
        return;
    }
    fputs("scene,", file);
    if (stage->sheets > 0)
        fprintf(file, "%d", quarter_turns(stage, 0));
    fputs(",", file);
    if (stage->sheets > 1)
        fprintf(file, "%d", quarter_turns(stage, 1));
    fprintf(file, ",%s,%s,,,,,\nedition,,,,%s,,,,,\n", grade_label(plan->grade),
            item_label(plan->item), edition);
}

static FILE *open_for_writing(const char *path)
{
    FILE *file = fopen(path, "w");

    if (!file)
        fail("%s can't be written", path);
    return file;
}

void truth_write(const char *path, const struct stage *stage)
{
    FILE *file = open_for_writing(path);

    fputs("item,row,column,name,kind,x,y,L,a,b\n", file);
    write_scene(file, stage);
    for (int i = 0; i < stage->cards; i++)
        write_card(file, stage, i);
    for (int i = 0; i < stage->sheets; i++)
        write_chart(file, stage, i);
    if (fclose(file))
        fail("%s can't be written", path);
}

void names_write(const char *path, const struct sheet *sheet)
{
    FILE *file = open_for_writing(path);

    for (int cell = 0; cell < sheet->rows * sheet->columns; cell++) {
        char name[INK_NAME_SIZE] = "";

        if (sheet->cells[cell].ink != NO_INK)
            ink_name(sheet->cells[cell].ink, name);
        fprintf(file, "%s%c", name, (cell + 1) % sheet->columns ? ',' : '\n');
    }
    if (fclose(file))
        fail("%s can't be written", path);
}
