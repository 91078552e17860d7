/* Strips of combinations: cells to blend on, and a flap with the names that folds behind them. */

#include "output/sheets.h"
#include "sheet_drawing.h"

#include <math.h>
#include <stdio.h>

#define LINE_MM 0.2
#define NAME_MM 3.0
#define SHARE_BAR_MM 1.6
#define SHARE_MM 2.6
#define TILE_MM 5.0
#define FLAP_RIM_MM 1.5

/* "3 : 1", the first ink before the second. */
static void share_words(double second_share, char *words, size_t size)
{
    double first = 1 - second_share, least = fmin(first, second_share);

    snprintf(words, size, "%.3g : %.3g", first / least, second_share / least);
}

/* A bar below the cell, black as far as the second ink's share goes. */
static void draw_share(struct print *print, struct box cell, const struct sheet_strip_cell *blend)
{
    struct box bar = {cell.x, cell.y + cell.height + 1.2, cell.width, SHARE_BAR_MM};
    struct box second = bar;
    char words[24];

    second.width *= blend->second_share;
    second.x += bar.width - second.width;
    print_frame(print, bar, LINE_MM, SHEET_QUIET);
    print_fill(print, second, SHEET_QUIET);
    share_words(blend->second_share, words, sizeof words);
    sheet_words(print, SHARE_MM, 1,
                (struct box){bar.x, bar.y + SHARE_BAR_MM + 0.5, bar.width, SHARE_MM + 1}, words);
}

/* What is on the flap below a cell: how it is foreseen, and an ink's name. */
static void draw_behind(struct print *print, const struct printed_chart *chart, struct box cell,
                        const struct sheet_strip_cell *shown)
{
    double top = cell.y + cell.height + PRINTED_NAME_MM + FLAP_RIM_MM;
    struct box tile = {cell.x, top, cell.width, TILE_MM};
    double middle = cell.x + cell.width / 2;
    double room = fmin(middle, chart->page_mm.x - middle) - PRINTED_MARGIN_MM;
    double reach = fmin(chart->pitch_mm.x - PRINTED_GAP_MM / 2, room); /* over the blends beside */
    struct box name = {middle - reach, top + TILE_MM + 0.8, 2 * reach, 7};

    if (shown->foreseen)
        print_fill(print, tile, sheet_paint(shown->lab));
    else
        print_frame(print, tile, LINE_MM, SHEET_FRAME);
    if (shown->ink)
        sheet_words(print, NAME_MM, 2, name, shown->ink);
}

/* Where to cut, above the strip and below its flap, and where to fold; the line above the first
 * strip keeps away from the tags. */
static void draw_edges(struct print *print, const struct printed_chart *chart, int row,
                       struct box first)
{
    double left = PRINTED_MARGIN_MM, right = chart->page_mm.x - PRINTED_MARGIN_MM;
    double away = row == 1 ? PRINTED_TAG_MM + PRINTED_GAP_MM : 0;
    double top = first.y - PRINTED_GAP_MM / 2;
    double fold = first.y + first.height + PRINTED_NAME_MM;
    double end = fold + SHEET_FLAP_MM + PRINTED_GAP_MM / 2;

    print_line(print, (struct point){left + away, top}, (struct point){right - away, top}, LINE_MM,
               SHEET_FRAME);
    print_dashes(print, (struct point){left, fold}, (struct point){right, fold}, LINE_MM,
                 SHEET_QUIET);
    print_line(print, (struct point){left, end}, (struct point){right, end}, LINE_MM, SHEET_FRAME);
}

static struct box cell_box(const struct printed_chart *chart, int row, int column)
{
    struct quad frame = printed_chart_cell(chart, row, column);

    return sheet_box(&frame);
}

static void draw_strip(struct print *print, const struct printed_chart *chart, int row,
                       const struct sheet_strip *strip, const struct sheet_about *about)
{
    struct box first = cell_box(chart, row, 1);
    double foot = first.y + first.height + PRINTED_NAME_MM + SHEET_FLAP_MM - 2.8;
    double width = chart->page_mm.x - PRINTED_MARGIN_MM - first.x;

    draw_edges(print, chart, row, first);
    for (int i = 0; i < strip->count; i++) {
        struct box cell = cell_box(chart, row, i + 1);

        print_frame(print, cell, LINE_MM, SHEET_FRAME);
        if (!strip->cells[i].ink)
            draw_share(print, cell, &strip->cells[i]);
        draw_behind(print, chart, cell, &strip->cells[i]);
    }
    sheet_remark(print, LETTERING_LEFT, (struct box){first.x, foot, width, 3.4}, about->date);
}

static void draw_strips(struct print *print, const struct printed_chart *chart,
                        const struct sheet_about *about, const struct sheet_strip *strips,
                        int count, int number)
{
    char line[240];

    sheet_page_marks(print, chart, number);
    snprintf(line, sizeof line,
             "sheet %d, %s. Blend in the cells, the shares stand below them; photograph the page, "
             "then cut, and fold the flaps behind.",
             number, about->date);
    sheet_page_title(print, chart, about->title, line);
    for (int i = 0; i < count; i++)
        draw_strip(print, chart, i + 1, &strips[i], about);
    sheet_page_foot(print, chart);
}

enum status sheet_write_strips(const char *path, const struct printed_chart *chart,
                               const struct sheet_about *about, const struct sheet_strips *strips,
                               const int *numbers, struct error *error)
{
    const struct print_about said = {about->title, about->made_utc_s};
    size_t a_page = (size_t)chart->rows;
    struct print *print;
    enum status status = print_create(chart->page_mm, &said, &print, error);

    for (size_t from = 0; !status && from < strips->count; from += a_page) {
        size_t left = strips->count - from;

        status = print_add_page(print, error);
        if (!status)
            draw_strips(print, chart, about, &strips->items[from],
                        (int)(left < a_page ? left : a_page), numbers[from / a_page]);
    }
    if (!status)
        status = print_write(print, path, error);
    print_release(print);
    return status;
}
