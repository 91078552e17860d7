/* Strips of combinations: cells to blend on, and names on a flap that folds behind or on the back.
 */

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

/* How a cell is foreseen, below it. */
static void draw_foreseen(struct print *print, struct box cell,
                          const struct sheet_strip_cell *shown)
{
    struct box tile = {cell.x, cell.y + cell.height + PRINTED_NAME_MM + FLAP_RIM_MM, cell.width,
                       TILE_MM};

    if (shown->foreseen)
        print_fill(print, tile, sheet_paint(shown->lab));
    else
        print_frame(print, tile, LINE_MM, SHEET_FRAME);
}

/* An ink's name, from `top` down: as wide as the blends beside its cell allow. */
static void draw_name(struct print *print, const struct printed_chart *chart, struct box cell,
                      double top, const char *ink)
{
    double middle = cell.x + cell.width / 2;
    double room = fmin(middle, chart->page_mm.x - middle) - PRINTED_MARGIN_MM;
    double reach = fmin(chart->pitch_mm.x - PRINTED_GAP_MM / 2, room);

    if (ink)
        sheet_words(print, NAME_MM, 2, (struct box){middle - reach, top, 2 * reach, 7}, ink);
}

static struct box cell_box(const struct printed_chart *chart, int row, int column)
{
    struct quad frame = printed_chart_cell(chart, row, column);

    return sheet_box(&frame);
}

/* Where to cut, above the strip and below its flap, and where to fold; the line above the first
 * strip keeps away from the tags. */
static void draw_edges(struct print *print, const struct printed_chart *chart, int row, bool flap)
{
    struct box first = cell_box(chart, row, 1);
    double left = PRINTED_MARGIN_MM, right = chart->page_mm.x - PRINTED_MARGIN_MM;
    double away = row == 1 ? PRINTED_TAG_MM + PRINTED_GAP_MM : 0;
    double top = first.y - PRINTED_GAP_MM / 2;
    double fold = first.y + first.height + PRINTED_NAME_MM;
    double end = fold + (flap ? SHEET_FLAP_MM : SHEET_FORESEEN_MM) + PRINTED_GAP_MM / 2;

    print_line(print, (struct point){left + away, top}, (struct point){right - away, top}, LINE_MM,
               SHEET_FRAME);
    if (flap)
        print_dashes(print, (struct point){left, fold}, (struct point){right, fold}, LINE_MM,
                     SHEET_QUIET);
    print_line(print, (struct point){left, end}, (struct point){right, end}, LINE_MM, SHEET_FRAME);
}

/* A row of the page with its strip. */
struct strip_row {
    const struct printed_chart *chart;
    const struct sheet_strip *strip;
    int row;
};

static void draw_strip(struct print *print, const struct strip_row *at, bool flap,
                       const struct sheet_about *about)
{
    const struct printed_chart *chart = at->chart;
    struct box first = cell_box(chart, at->row, 1);
    double top = first.y + first.height + PRINTED_NAME_MM + FLAP_RIM_MM + TILE_MM + 0.8;
    double foot = first.y + first.height + PRINTED_NAME_MM + SHEET_FLAP_MM - 2.8;
    double width = chart->page_mm.x - PRINTED_MARGIN_MM - first.x;

    draw_edges(print, chart, at->row, flap);
    for (int i = 0; i < at->strip->count; i++) {
        const struct sheet_strip_cell *shown = &at->strip->cells[i];
        struct box cell = cell_box(chart, at->row, i + 1);

        print_frame(print, cell, LINE_MM, SHEET_FRAME);
        if (!shown->ink)
            draw_share(print, cell, shown);
        draw_foreseen(print, cell, shown);
        if (flap)
            draw_name(print, chart, cell, top, shown->ink);
    }
    if (flap)
        sheet_remark(print, LETTERING_LEFT, (struct box){first.x, foot, width, 3.4}, about->date);
}

/* Turned over its long edge, a page's back has left and right changed, or above and below where
 * the page lies on its long side. */
static struct box behind(const struct printed_chart *chart, struct box box)
{
    if (chart->page_mm.x <= chart->page_mm.y)
        box.x = chart->page_mm.x - box.x - box.width;
    else
        box.y = chart->page_mm.y - box.y - box.height;
    return box;
}

static void draw_back(struct print *print, const struct strip_row *at,
                      const struct sheet_about *about)
{
    const struct printed_chart *chart = at->chart;
    struct box date = behind(chart, cell_box(chart, at->row, 1));

    for (int i = 0; i < at->strip->count; i++) {
        struct box cell = behind(chart, cell_box(chart, at->row, i + 1));

        draw_name(print, chart, cell, cell.y + cell.height / 2 - NAME_MM, at->strip->cells[i].ink);
    }
    sheet_remark(print, LETTERING_CENTRE,
                 (struct box){date.x - chart->pitch_mm.x / 2, date.y + date.height - 3.4,
                              date.width + chart->pitch_mm.x, 3.4},
                 about->date);
}

struct strip_pages {
    const struct printed_chart *chart;
    const struct sheet_strips *strips;
    const int *numbers;
};

static void draw_marks(struct print *print, const struct strip_pages *strips,
                       const struct sheet_about *about, int number)
{
    char line[240];

    sheet_page_marks(print, strips->chart, number);
    snprintf(line, sizeof line,
             "sheet %d, %s. Blend in the cells, the shares stand below them; photograph the page, "
             "then cut%s.",
             number, about->date, strips->strips->backs ? "" : ", and fold the flaps behind");
    sheet_page_title(print, strips->chart, about->title, line);
    sheet_page_foot(print, strips->chart);
}

static void draw_strips(struct print *print, const struct sheet_about *about, const void *what,
                        size_t page)
{
    const struct strip_pages *pages = what;
    const struct sheet_strips *strips = pages->strips;
    size_t a_page = (size_t)pages->chart->rows;
    size_t sheet = strips->backs ? page / 2 : page;
    bool back = strips->backs && page % 2;

    if (!back)
        draw_marks(print, pages, about, pages->numbers[sheet]);
    for (size_t i = 0; i < a_page && sheet * a_page + i < strips->count; i++) {
        const struct strip_row row = {pages->chart, &strips->items[sheet * a_page + i], (int)i + 1};

        if (back)
            draw_back(print, &row, about);
        else
            draw_strip(print, &row, !strips->backs, about);
    }
}

enum status sheet_write_strips(const char *path, const struct printed_chart *chart,
                               const struct sheet_about *about, const struct sheet_strips *strips,
                               const int *numbers, struct error *error)
{
    const struct strip_pages pages = {chart, strips, numbers};
    size_t sheets = (strips->count + (size_t)chart->rows - 1) / (size_t)chart->rows;

    return sheet_write_pages(path, about,
                             &(struct sheet_pages){chart->page_mm,
                                                   strips->backs ? 2 * sheets : sheets,
                                                   strips->backs, draw_strips, &pages},
                             error);
}
