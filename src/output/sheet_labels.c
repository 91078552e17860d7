/* Labels for pads, brushes and holders, and the range as a wall of tiles. */

#include "sheet_drawing.h"

#include <math.h>
#include <stdio.h>

#define LABEL_RIM_MM 2.0
#define LABEL_LETTERS_MM 4.5
#define LABEL_COLOUR 0.3 /* of the width: the tile of colour */
#define EDGE_MM 0.1

/* By their measures; the pages divide so. Millimetres. */
static const struct inventory_stock stocks[] = {
    {"70x37", {210, 297}, 8, 3, {70, 37}, {0, 0.5}, {70, 37}},
    {"63.5x38.1", {210, 297}, 7, 3, {63.5, 38.1}, {7.25, 15.15}, {66, 38.1}},
    {"38.1x21.2", {210, 297}, 13, 5, {38.1, 21.2}, {4.75, 10.7}, {40.6, 21.2}},
    {"66.7x25.4", {215.9, 279.4}, 10, 3, {66.7, 25.4}, {4.8, 12.7}, {69.8, 25.4}},
};

const struct inventory_stock *sheet_label_stocks(size_t *count)
{
    *count = sizeof stocks / sizeof *stocks;
    return stocks;
}

/* --- labels ----------------------------------------------------------------------------------- */

enum status sheet_check_stock(const struct inventory_stock *stock, struct error *error)
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
    if ((stock->columns > 1 && stock->pitch_mm.x < stock->label_mm.x - slack) ||
        (stock->rows > 1 && stock->pitch_mm.y < stock->label_mm.y - slack))
        return error_set(error, STATUS_USAGE,
                         "labels of %g x %g mm that follow every %g x %g mm lie on one another; "
                         "a pitch is a label's side and the gap to the next",
                         stock->label_mm.x, stock->label_mm.y, stock->pitch_mm.x,
                         stock->pitch_mm.y);
    return STATUS_OK;
}

static enum status check_start(const struct inventory_stock *stock, int start, struct error *error)
{
    if (start > stock->rows * stock->columns)
        return error_set(error, STATUS_USAGE, "a page has %d labels, none that is number %d",
                         stock->rows * stock->columns, start);
    return STATUS_OK;
}

static struct box box_of_label(const struct inventory_stock *stock, int place)
{
    return (struct box){stock->first_mm.x + place % stock->columns * stock->pitch_mm.x,
                        stock->first_mm.y + place / stock->columns * stock->pitch_mm.y,
                        stock->label_mm.x, stock->label_mm.y};
}

static void draw_label(struct print *print, struct box box, const struct sheet_ink *ink,
                       const struct label_style *style)
{
    double rim = fmin(LABEL_RIM_MM, box.height / 6);
    struct box tile = {box.x + rim, box.y + rim, LABEL_COLOUR * box.width, box.height - 2 * rim};
    struct box words = {box.x + rim, box.y + rim, box.width - 2 * rim, box.height - 2 * rim};
    const struct print_text letters = {LABEL_LETTERS_MM, false, LETTERING_CENTRE, 3, SHEET_BLACK};

    if (style->outlined)
        print_frame(print, box, EDGE_MM, SHEET_FRAME);
    if (style->coloured && ink->measured) {
        print_fill(print, tile, sheet_paint(ink->lab));
        words.x += tile.width + rim;
        words.width -= tile.width + rim;
    }
    print_words_amid(print, &letters, words, ink->name.ink);
}

struct label_pages {
    const struct inventory_stock *stock;
    const struct sheet_list *list;
    const struct label_style *style;
    size_t first; /* the place of the first ink's label on the first page */
};

static void draw_labels(struct print *print, const struct sheet_about *about, const void *what,
                        size_t page)
{
    const struct label_pages *labels = what;
    size_t a_page = (size_t)(labels->stock->rows * labels->stock->columns);

    (void)about;
    for (size_t place = page ? 0 : labels->first; place < a_page; place++) {
        size_t ink = page * a_page + place - labels->first;

        if (ink < labels->list->count)
            draw_label(print, box_of_label(labels->stock, (int)place), &labels->list->inks[ink],
                       labels->style);
    }
}

enum status sheet_write_labels(const char *path, const struct inventory_stock *stock,
                               const struct sheet_about *about, const struct sheet_list *list,
                               const struct label_style *style, struct error *error)
{
    const struct label_pages labels = {stock, list, style,
                                       style->start ? (size_t)style->start - 1 : 0};
    size_t a_page = (size_t)(stock->rows * stock->columns);
    size_t pages = (labels.first + list->count + a_page - 1) / a_page;
    enum status status = sheet_check_stock(stock, error);

    if (!status)
        status = check_start(stock, style->start, error);
    return status ? status
                  : sheet_write_pages(
                        path, about,
                        &(struct sheet_pages){stock->page_mm, pages, false, draw_labels, &labels},
                        error);
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
    const struct sheet_list *list;
};

static struct wall wall_of(struct point page_mm, const struct sheet_list *list)
{
    struct wall wall = {.page_mm = page_mm, .list = list};

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
    sheet_words(print, 3.0, 3, (struct box){x, y + TILE_MM + 0.5, TILE_MM, TILE_NAME_MM - 0.5},
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

static void draw_wall(struct print *print, const struct sheet_about *about, const void *what,
                      size_t page)
{
    const struct wall *wall = what;
    size_t a_page = (size_t)(wall->rows * wall->columns);

    draw_wall_head(print, wall, about);
    for (size_t i = 0; i < a_page && page * a_page + i < wall->list->count; i++)
        draw_tile(print, wall, &wall->list->inks[page * a_page + i], (int)i);
}

enum status sheet_write_range(const char *path, struct point page_mm,
                              const struct sheet_about *about, const struct sheet_list *list,
                              struct error *error)
{
    const struct wall wall = wall_of(page_mm, list);
    size_t a_page = (size_t)(wall.rows * wall.columns);

    if (wall.rows < 1 || wall.columns < 1)
        return error_set(error, STATUS_USAGE,
                         "a page of %g x %g mm has no room for a tile; take a larger one",
                         page_mm.x, page_mm.y);
    return sheet_write_pages(path, about,
                             &(struct sheet_pages){page_mm, (list->count + a_page - 1) / a_page,
                                                   false, draw_wall, &wall},
                             error);
}
