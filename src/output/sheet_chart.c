/* The chart to ink and photograph, and the stencil that masks it. */

#include "sheet_drawing.h"

#include <math.h>
#include <stdio.h>

#define NAME_MM 3.0
#define NAME_GAP_MM 0.6
#define FRAME_MM 0.2
#define WINDOW_MARGIN_MM 1.0 /* the frame stays free of ink, so that it shows where a cell ends */
#define CROSS_MM 4.0
#define SPARE_WINDOWS 3
#define SPARE_RIM_MM 3.0
#define TEXT_GAP_MM 2.0

static void draw_card_place(struct print *print, const struct printed_chart *chart)
{
    struct point at = printed_chart_card(chart);
    struct box box = {at.x, at.y, chart->card_mm.x, chart->card_mm.y};
    struct quad quad = box_quad(box);

    if (box.width <= 0)
        return;
    for (int i = 0; i < 4; i++)
        print_dashes(print, quad.corner[i], quad.corner[(i + 1) % 4], FRAME_MM, SHEET_QUIET);
    sheet_remark(print, LETTERING_CENTRE,
                 (struct box){box.x, box.y + box.height / 2 - 3, box.width, 8},
                 "Lay the reference card here for the photo.");
}

/* --- the chart -------------------------------------------------------------------------------- */

static void draw_cell(struct print *print, const struct printed_chart *chart,
                      const struct names *names, int row, int column)
{
    struct quad frame = printed_chart_cell(chart, row, column);
    struct box box = sheet_box(&frame);
    const struct name *name = names_at(names, row, column);
    struct box below = {box.x - PRINTED_GAP_MM / 2 + NAME_GAP_MM, box.y + box.height + NAME_GAP_MM,
                        box.width + PRINTED_GAP_MM - 2 * NAME_GAP_MM, PRINTED_NAME_MM};
    char words[NAMES_INK_BYTES_MAX + NAMES_BATCH_BYTES_MAX + 4];

    print_frame(print, box, FRAME_MM, SHEET_FRAME);
    snprintf(words, sizeof words, name->batch[0] ? "%s [%s]" : "%s%s", name->ink, name->batch);
    sheet_words(print, NAME_MM, 3, below, words);
}

struct chart_pages {
    const struct printed_chart *chart;
    const struct sheet_page *pages;
};

static void draw_chart(struct print *print, const struct sheet_about *about, const void *what,
                       size_t number)
{
    const struct chart_pages *charts = what;
    const struct printed_chart *chart = charts->chart;
    const struct sheet_page *page = &charts->pages[number];
    char line[200];

    sheet_page_marks(print, chart, page->number);
    snprintf(line, sizeof line, "sheet %d, %s%s%.0d", page->number, about->date,
             page->revision > 1 ? ", printing " : "", page->revision > 1 ? page->revision : 0);
    sheet_page_title(print, chart, about->title, line);
    for (int row = 1; row <= chart->rows; row++)
        for (int column = 1; column <= chart->columns; column++)
            draw_cell(print, chart, page->names, row, column);
    draw_card_place(print, chart);
    sheet_page_foot(print, chart);
}

enum status sheet_write_chart(const char *path, const struct printed_chart *chart,
                              const struct sheet_about *about, const struct sheet_page *pages,
                              size_t count, struct error *error)
{
    const struct chart_pages charts = {chart, pages};

    return sheet_write_pages(
        path, about, &(struct sheet_pages){chart->page_mm, count, false, draw_chart, &charts},
        error);
}

/* --- the stencil ------------------------------------------------------------------------------ */

static struct box window_of(const struct quad *frame)
{
    struct box box = sheet_box(frame);

    return (struct box){box.x + WINDOW_MARGIN_MM, box.y + WINDOW_MARGIN_MM,
                        box.width - 2 * WINDOW_MARGIN_MM, box.height - 2 * WINDOW_MARGIN_MM};
}

/* Crosses where the chart has the outer corners of its tags. */
static void draw_crosses(struct print *print, const struct printed_chart *chart)
{
    for (int i = 0; i < 4; i++) {
        struct point at = printed_chart_tag(chart, i);

        at.x += i == 1 || i == 2 ? PRINTED_TAG_MM : 0;
        at.y += i >= 2 ? PRINTED_TAG_MM : 0;
        print_line(print, (struct point){at.x - CROSS_MM, at.y},
                   (struct point){at.x + CROSS_MM, at.y}, FRAME_MM, SHEET_BLACK);
        print_line(print, (struct point){at.x, at.y - CROSS_MM},
                   (struct point){at.x, at.y + CROSS_MM}, FRAME_MM, SHEET_BLACK);
    }
}

/* Single windows with a rim, to mask one square alone, in the strip between the lower tags. */
static void draw_spares(struct print *print, const struct printed_chart *chart)
{
    struct box strip = sheet_between_tags(chart, true);
    double side = fmin(strip.height - 2 * SPARE_RIM_MM, chart->cell_mm.x - 2 * WINDOW_MARGIN_MM);

    for (int i = 0; i < SPARE_WINDOWS; i++) {
        double x = strip.x + i * (side + 2 * SPARE_RIM_MM);

        print_frame(print, (struct box){x, strip.y, side + 2 * SPARE_RIM_MM, strip.height},
                    FRAME_MM, SHEET_QUIET);
        print_frame(print,
                    (struct box){x + SPARE_RIM_MM, strip.y + (strip.height - side) / 2, side, side},
                    FRAME_MM, SHEET_BLACK);
    }
    strip.x += SPARE_WINDOWS * (side + 2 * SPARE_RIM_MM) + TEXT_GAP_MM;
    strip.width -= SPARE_WINDOWS * (side + 2 * SPARE_RIM_MM) + TEXT_GAP_MM;
    sheet_remark(print, LETTERING_LEFT, strip,
                 "Spares for single squares. Cut with a fresh blade along a metal edge, away from "
                 "your fingers, on a cutting mat; keep blades from children.");
}

static void draw_window(struct print *print, const struct sheet_about *about, const void *what,
                        size_t page)
{
    const struct printed_chart *chart = what;

    (void)page;
    sheet_page_title(
        print, chart, about->title,
        "Stencil: cover both sides with clear tape against soaking, cut the squares out, "
        "lay the crosses on the outer corners of the chart's marks, ink through it, wipe "
        "it after each ink.");
    draw_crosses(print, chart);
    for (int row = 1; row <= chart->rows; row++)
        for (int column = 1; column <= chart->columns; column++) {
            struct quad frame = printed_chart_cell(chart, row, column);

            print_frame(print, window_of(&frame), FRAME_MM, SHEET_BLACK);
        }
    draw_spares(print, chart);
}

enum status sheet_write_window(const char *path, const struct printed_chart *chart,
                               const struct sheet_about *about, struct error *error)
{
    return sheet_write_pages(
        path, about, &(struct sheet_pages){chart->page_mm, 1, false, draw_window, chart}, error);
}
