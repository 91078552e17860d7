/* Labels for pads, brushes and holders, and the range as a wall of tiles. */

#include "output/sheets.h"
#include "sheet_drawing.h"

#include <math.h>
#include <stdio.h>

#define LABEL_RIM_MM 2.0
#define LABEL_LETTERS_MM 4.5
#define LABEL_COLOUR 0.3 /* of the width: the tile of colour */
#define EDGE_MM 0.1

/* By their measures; the pages divide so. Millimetres. */
static const struct label_stock stocks[] = {
    {"70x37", {210, 297}, 8, 3, {70, 37}, {0, 0.5}, {70, 37}, {0, 0}, {1, 1}},
    {"63.5x38.1", {210, 297}, 7, 3, {63.5, 38.1}, {7.25, 15.15}, {66, 38.1}, {0, 0}, {1, 1}},
    {"38.1x21.2", {210, 297}, 13, 5, {38.1, 21.2}, {4.75, 10.7}, {40.6, 21.2}, {0, 0}, {1, 1}},
    {"66.7x25.4", {215.9, 279.4}, 10, 3, {66.7, 25.4}, {4.8, 12.7}, {69.8, 25.4}, {0, 0}, {1, 1}},
};

const struct label_stock *sheet_label_stocks(size_t *count)
{
    *count = sizeof stocks / sizeof *stocks;
    return stocks;
}

/* --- labels ----------------------------------------------------------------------------------- */

static enum status check_stock(const struct label_stock *stock, const struct label_style *style,
                               struct error *error)
{
    const double slack = 0.01;
    double right = stock->first_mm.x + (stock->columns - 1) * stock->pitch_mm.x + stock->label_mm.x;
    double low = stock->first_mm.y + (stock->rows - 1) * stock->pitch_mm.y + stock->label_mm.y;

    if (right > stock->page_mm.x + slack || low > stock->page_mm.y + slack)
        return error_set(error, STATUS_USAGE,
                         "%d rows of %d labels reach to %.1f x %.1f mm, the page ends at %.1f x "
                         "%.1f; give fewer, or smaller measures",
                         stock->rows, stock->columns, right, low, stock->page_mm.x,
                         stock->page_mm.y);
    if (style->start > stock->rows * stock->columns)
        return error_set(error, STATUS_USAGE,
                         "a page has %d labels, so none is the %dth to start with",
                         stock->rows * stock->columns, style->start);
    return STATUS_OK;
}

/* Where a label goes, with what the printer gets wrong taken off. */
static struct box box_of_label(const struct label_stock *stock, int place)
{
    double x = stock->first_mm.x + place % stock->columns * stock->pitch_mm.x;
    double y = stock->first_mm.y + place / stock->columns * stock->pitch_mm.y;

    return (struct box){x * stock->stretch.x + stock->shift_mm.x,
                        y * stock->stretch.y + stock->shift_mm.y,
                        stock->label_mm.x * stock->stretch.x, stock->label_mm.y * stock->stretch.y};
}

static void draw_label(struct print *print, struct box box, const struct sheet_ink *ink,
                       const struct label_style *style)
{
    double rim = fmin(LABEL_RIM_MM, box.height / 6);
    struct box tile = {box.x + rim, box.y + rim, LABEL_COLOUR * box.width, box.height - 2 * rim};
    struct box words = {box.x + rim, box.y + box.height / 2 - LABEL_LETTERS_MM, box.width - 2 * rim,
                        box.height / 2 + LABEL_LETTERS_MM - rim};

    if (style->outlined)
        print_frame(print, box, EDGE_MM, SHEET_FRAME);
    if (style->coloured && ink->measured) {
        print_fill(print, tile, sheet_paint(ink->lab));
        words.x += tile.width + rim;
        words.width -= tile.width + rim;
    }
    sheet_words(print, LABEL_LETTERS_MM, 2, words, ink->name.ink);
}

enum status sheet_write_labels(const char *path, const struct label_stock *stock,
                               const struct sheet_about *about, const struct sheet_list *list,
                               const struct label_style *style, struct error *error)
{
    const struct print_about said = {about->title, about->made_utc_s};
    int a_page = stock->rows * stock->columns;
    int start = style->start ? style->start - 1 : 0;
    struct print *print = NULL;
    enum status status = check_stock(stock, style, error);

    if (!status)
        status = print_create(stock->page_mm, &said, &print, error);
    for (size_t i = 0; !status && i < list->count; i++) {
        int place = (start + (int)i) % a_page;

        if (!i || !place)
            status = print_add_page(print, error);
        if (!status)
            draw_label(print, box_of_label(stock, place), &list->inks[i], style);
    }
    if (!status)
        status = print_write(print, path, error);
    print_release(print);
    return status;
}

/* --- the range -------------------------------------------------------------------------------- */

#define TILE_MM 24.0
#define TILE_GAP_MM 3.0
#define TILE_NAME_MM 6.5
#define TILE_NUMBER_MM 3.4
#define HEAD_MM 12.0

struct wall {
    struct point page_mm;
    int rows, columns;
};

static struct wall wall_of(struct point page_mm)
{
    struct wall wall = {.page_mm = page_mm};

    wall.columns =
        (int)((page_mm.x - 2 * PRINTED_MARGIN_MM + TILE_GAP_MM) / (TILE_MM + TILE_GAP_MM));
    wall.rows = (int)((page_mm.y - 2 * PRINTED_MARGIN_MM - HEAD_MM) /
                      (TILE_MM + TILE_NAME_MM + TILE_NUMBER_MM + TILE_GAP_MM));
    return wall;
}

static void draw_tile(struct print *print, const struct wall *wall, const struct sheet_ink *ink,
                      int place)
{
    double x = PRINTED_MARGIN_MM + place % wall->columns * (TILE_MM + TILE_GAP_MM);
    double y = PRINTED_MARGIN_MM + HEAD_MM +
               place / wall->columns * (TILE_MM + TILE_NAME_MM + TILE_NUMBER_MM + TILE_GAP_MM);
    char numbers[80] = "not measured yet";

    if (ink->measured) {
        print_fill(print, (struct box){x, y, TILE_MM, TILE_MM}, sheet_paint(ink->lab));
        snprintf(numbers, sizeof numbers, "%.0f  %+.0f  %+.0f%s", ink->lab.L, ink->lab.a,
                 ink->lab.b, colour_srgb_shows(ink->lab) ? "" : "  *");
    } else {
        print_frame(print, (struct box){x, y, TILE_MM, TILE_MM}, EDGE_MM, SHEET_QUIET);
    }
    sheet_words(print, 3.0, 2, (struct box){x, y + TILE_MM + 0.5, TILE_MM, TILE_NAME_MM},
                ink->name.ink);
    sheet_remark(print, LETTERING_CENTRE,
                 (struct box){x, y + TILE_MM + TILE_NAME_MM, TILE_MM, TILE_NUMBER_MM}, numbers);
}

static void draw_wall_head(struct print *print, const struct wall *wall,
                           const struct sheet_about *about)
{
    const struct print_text title = {5.5, true, LETTERING_LEFT, 1, SHEET_BLACK};
    double width = wall->page_mm.x - 2 * PRINTED_MARGIN_MM;
    char line[160];

    snprintf(line, sizeof line,
             "%s, page %d. Numbers: lightness, green to red, blue to yellow. "
             "* more vivid than shown.",
             about->date, print_pages(print));
    print_words(print, &title, (struct box){PRINTED_MARGIN_MM, PRINTED_MARGIN_MM, width, 7},
                about->title);
    sheet_remark(print, LETTERING_LEFT,
                 (struct box){PRINTED_MARGIN_MM, PRINTED_MARGIN_MM + 7, width, 4}, line);
}

enum status sheet_write_range(const char *path, struct point page_mm,
                              const struct sheet_about *about, const struct sheet_list *list,
                              struct error *error)
{
    const struct print_about said = {about->title, about->made_utc_s};
    const struct wall wall = wall_of(page_mm);
    int a_page = wall.rows * wall.columns;
    struct print *print;
    enum status status = print_create(page_mm, &said, &print, error);

    for (size_t i = 0; !status && i < list->count; i++) {
        if (i % (size_t)a_page == 0)
            status = print_add_page(print, error);
        if (!status && i % (size_t)a_page == 0)
            draw_wall_head(print, &wall, about);
        if (!status)
            draw_tile(print, &wall, &list->inks[i], (int)(i % (size_t)a_page));
    }
    if (!status)
        status = print_write(print, path, error);
    print_release(print);
    return status;
}
