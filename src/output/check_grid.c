#include "check_drawing.h"
#include "check_marks.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* The chart redrawn: measured colours in rows and columns. */

#define RIM_LETTERS_PX 17
#define SHRINK_MIN 0.75 /* letters are made no smaller to keep a long word whole */

static void draw_rims(const struct check_drawing *drawing)
{
    const struct check_layout *layout = &drawing->layout;
    const struct lettering lettering = {RIM_LETTERS_PX, true, LETTERING_CENTRE, check_faint()};
    char text[NAMES_LABEL_SIZE];

    for (int row = 1; row <= layout->rows; row++) {
        struct box tile = check_layout_tile(layout, row, 1);

        names_label(row, 1, text);
        text[strcspn(text, "0123456789")] = '\0';
        canvas_text(drawing->canvas, &lettering,
                    (struct point){layout->grid.x + 11, tile.y + tile.height / 2 + 6},
                    RIM_LETTERS_PX * 2, text);
    }
    for (int column = 1; column <= layout->columns; column++) {
        struct box tile = check_layout_tile(layout, 1, column);

        snprintf(text, sizeof text, "%d", column);
        canvas_text(drawing->canvas, &lettering,
                    (struct point){tile.x + tile.width / 2, tile.y - 10}, tile.width, text);
    }
}

static void draw_tile(const struct check_drawing *drawing, const struct reading *reading,
                      const struct shown *shown, struct box tile)
{
    struct quad quad = box_quad(tile);

    if (reading->found == CELL_INK) {
        canvas_fill_box(drawing->canvas, tile, shown->paint);
        if (shown->clipped)
            check_mark_ring(drawing->canvas, tile);
        return;
    }
    canvas_outline_quad(drawing->canvas, &quad,
                        (struct outline){1, reading->found == CELL_EMPTY, 0.6});
    if (reading->found == CELL_UNREADABLE)
        check_mark_cross(drawing->canvas, &quad);
}

/* The colour in figures, in smaller letters where it is wider than its lines. */
static void draw_numbers(const struct check_drawing *drawing, const struct reading *reading,
                         struct box box)
{
    struct lettering lettering = {0.94 * drawing->layout.name_px, false, LETTERING_LEFT,
                                  check_faint()};
    char numbers[CHECK_NUMBERS_SIZE];
    double width;

    check_numbers(reading, drawing->layout.number_lines == 1, numbers);
    width = canvas_text_width(drawing->canvas, &lettering, numbers);
    lettering.size_px *= fmin(1, 0.99 * box.width / fmax(width, 1));
    check_numbers(reading, true, numbers);
    canvas_paragraph(drawing->canvas, &lettering, box, numbers);
}

static void draw_words(const struct check_drawing *drawing, const struct reading *reading,
                       struct box tile)
{
    const struct check_layout *layout = &drawing->layout;
    const double line_px = CANVAS_LINE_SPACING * layout->name_px;
    struct lettering lettering = {layout->name_px, false, LETTERING_LEFT, check_ink()};
    struct box words = {tile.x, tile.y + tile.height + 3, tile.width, layout->name_lines * line_px};
    char label[NAMES_LABEL_SIZE];
    const char *name = names_of_cell(drawing->names, reading->row, reading->column, label);
    double widest = canvas_word_width(drawing->canvas, &lettering, name);

    lettering.size_px *= fmax(fmin(1, 0.99 * words.width / fmax(widest, 1)), SHRINK_MIN);
    words.y = canvas_paragraph(drawing->canvas, &lettering, words, name);
    words.height = layout->number_lines * line_px;
    if (reading->found == CELL_INK)
        draw_numbers(drawing, reading, words);
}

void check_grid_draw(const struct check_drawing *drawing)
{
    draw_rims(drawing);
    for (int i = 0; i < check_cells(drawing); i++) {
        const struct reading *reading = &drawing->chart->readings[i];
        struct box tile = check_layout_tile(&drawing->layout, reading->row, reading->column);

        draw_tile(drawing, reading, &drawing->cells[i], tile);
        if (check_wants_look(drawing, reading)) /* the list says why */
            check_mark_look(drawing->canvas,
                            (struct point){tile.x + tile.width - 2.2 * CHECK_LOOK_PX,
                                           tile.y + 2.2 * CHECK_LOOK_PX});
        if (drawing->layout.name_px > 0)
            draw_words(drawing, reading, tile);
    }
}
