#include "truth.h"

#include "basics.h"

#include <stdio.h>

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

static struct point sheet_seen(const struct stage *stage, struct point place)
{
    double height_mm;
    struct point desk = sheet_in_space(&stage->sheet, place, &height_mm);

    return seen_at(stage, desk, height_mm);
}

static void write_card(FILE *file, const struct stage *stage, int number)
{
    static const struct {
        int patch;
        double across, down;
    } corners[4] = {{0, -1, -1}, {5, 1, -1}, {23, 1, 1}, {18, -1, 1}};
    const struct card *card = &stage->card[number];
    const char *which = number ? "second_" : "";

    for (int i = 0; i < 4; i++) {
        struct point seen =
            patch_seen(stage, card, corners[i].patch, corners[i].across, corners[i].down);

        fprintf(file, "%scard_corner,%d,,,,%.3f,%.3f,,,\n", which, i + 1, seen.x, seen.y);
    }
    for (int patch = 0; patch < PATCHES; patch++) {
        struct point seen = patch_seen(stage, card, patch, 0.0, 0.0);
        const double *lab = patch_lab((enum edition)stage->plan.edition, patch);

        fprintf(file, "%spatch,%d,,%s,%s,%.3f,%.3f,%.3f,%.3f,%.3f\n", which, patch + 1,
                patch_name(patch), card_patch_covered(card, patch) ? "covered" : "seen", seen.x,
                seen.y, lab[0], lab[1], lab[2]);
    }
}

/* A corner of a cell, numbered 0 to 3 clockwise from the top left. */
static struct point cell_place(const struct sheet *sheet, int row, int column, int corner)
{
    struct point place = sheet_cell_corner(sheet, row, column);

    place.x += corner == 1 || corner == 2 ? sheet->cell_width_mm : 0.0;
    place.y += corner >= 2 ? sheet->cell_height_mm : 0.0;
    return place;
}

static void write_cell(FILE *file, const struct stage *stage, int row, int column)
{
    const struct sheet *sheet = &stage->sheet;
    int cell = row * sheet->columns + column, ink = sheet->cells[cell].ink;
    struct point middle = cell_place(sheet, row, column, 0), seen;
    char name[INK_NAME_SIZE] = "";
    double lab[3];

    if (ink != NO_INK)
        ink_name(ink, name);
    middle.x += sheet->cell_width_mm / 2.0;
    middle.y += sheet->cell_height_mm / 2.0;
    seen = sheet_seen(stage, middle);
    sheet_cell_lab(sheet, &stage->observer, cell, lab);
    fprintf(file, "cell,%d,%d,%s,%s,%.3f,%.3f,%.3f,%.3f,%.3f\n", row + 1, column + 1, name,
            ink == NO_INK ? "empty" : "ink", seen.x, seen.y, lab[0], lab[1], lab[2]);
    for (int corner = 0; corner < 4; corner++) {
        seen = sheet_seen(stage, cell_place(sheet, row, column, corner));
        fprintf(file, "cell_corner,%d,%d,%d,,%.3f,%.3f,,,\n", row + 1, column + 1, corner + 1,
                seen.x, seen.y);
    }
}

static void write_chart(FILE *file, const struct stage *stage)
{
    const struct sheet *sheet = &stage->sheet;
    const int last_row = sheet->rows - 1, last_column = sheet->columns - 1;
    const int corner_row[4] = {0, 0, last_row, last_row};
    const int corner_column[4] = {0, last_column, last_column, 0};

    for (int i = 0; i < 4; i++) {
        struct point seen =
            sheet_seen(stage, cell_place(sheet, corner_row[i], corner_column[i], i));

        fprintf(file, "chart_corner,%d,,,,%.3f,%.3f,,,\n", i + 1, seen.x, seen.y);
    }
    for (int row = 0; row < sheet->rows; row++)
        for (int column = 0; column < sheet->columns; column++)
            write_cell(file, stage, row, column);
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
    fprintf(file, "scene,,,%s,%s,,,,,\n", grade_label(stage->plan.grade),
            edition_label((enum edition)stage->plan.edition));
    for (int i = 0; i < stage->cards; i++)
        write_card(file, stage, i);
    if (stage->sheets)
        write_chart(file, stage);
    if (fclose(file))
        fail("%s can't be written", path);
}

void names_write(const char *path, const struct stage *stage)
{
    const struct sheet *sheet = &stage->sheet;
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
