/* A printer's test page: how it prints is measured on it, or read from a photo of it. */

#include "location/printed_test.h"
#include "sheet_drawing.h"

#include <stdio.h>

#define LINE_MM 0.15
#define TICK_MM 2.0
#define LETTERS_MM 4.6
#define RIM_MM 8.0

static const struct box frame = {PRINTED_TEST_LEFT_MM, PRINTED_TEST_TOP_MM, PRINTED_TEST_WIDTH_MM,
                                 PRINTED_TEST_HEIGHT_MM};

static const char *const to_do[2] = {
    "Print this page at 100 %, not fitted to the page. Then measure with a ruler, to a quarter of "
    "a millimetre:\n\n"
    "left: from the paper's left edge to this frame\n(30 mm if the printer is true)\n"
    "top: from the paper's upper edge to the frame\n(30 mm)\n"
    "width: of the frame (100 mm)\n"
    "height: of the frame (150 mm)\n\n"
    "'woad printer NAME' keeps the four, with --left, --top, --width and --height, and "
    "'woad sheet ... --printer NAME' makes up for them.\n\n"
    "Or lay the page flat on a darker ground and photograph all of it from above: "
    "'woad printer NAME --photo FILE' reads the four from the photo.",
    "The back, where the paper was turned over its long edge. Measure on this side:\n\n"
    "back-left: from its left edge to this frame\n"
    "back-top: from its upper edge to the frame\n\n"
    "'woad printer NAME' keeps them together with those of the front. Or photograph this side, "
    "too, and give it with --back-photo."};

/* Ticks every 10 mm along the frame's upper and left line, inwards. */
static void draw_ticks(struct print *print)
{
    for (double at = 10; at < frame.height; at += 10) {
        struct point left = {frame.x, frame.y + at}, top = {frame.x + at, frame.y};

        print_line(print, left, (struct point){left.x + TICK_MM, left.y}, LINE_MM, SHEET_BLACK);
        if (at < frame.width)
            print_line(print, top, (struct point){top.x, top.y + TICK_MM}, LINE_MM, SHEET_BLACK);
    }
}

static void draw_test(struct print *print, const struct sheet_about *about, const void *what,
                      size_t page)
{
    const struct printed_chart chart = {.page_mm = *(const struct point *)what};
    const struct print_text text = {LETTERS_MM, false, LETTERING_LEFT, 24, SHEET_BLACK};
    struct box inside = {frame.x + RIM_MM, frame.y + RIM_MM, frame.width - 2 * RIM_MM,
                         frame.height - 2 * RIM_MM};

    sheet_page_marks(print, &chart, PRINTED_TEST_SHEET);
    sheet_page_title(print, &chart, about->title, about->date);
    print_frame(print, frame, LINE_MM, SHEET_BLACK);
    draw_ticks(print);
    print_words(print, &text, inside, to_do[page]);
}

enum status sheet_write_test(const char *path, struct point page_mm,
                             const struct sheet_about *about, bool back, struct error *error)
{
    if (page_mm.x < PRINTED_TEST_LEFT_MM + PRINTED_TEST_WIDTH_MM + PRINTED_MARGIN_MM ||
        page_mm.y < PRINTED_TEST_TOP_MM + PRINTED_TEST_HEIGHT_MM + PRINTED_MARGIN_MM)
        return error_set(error, STATUS_USAGE,
                         "a page of %g x %g mm can't hold the test's frame of %g x %g mm; take A5, "
                         "upright, or larger",
                         page_mm.x, page_mm.y, PRINTED_TEST_WIDTH_MM, PRINTED_TEST_HEIGHT_MM);
    return sheet_write_pages(
        path, about, &(struct sheet_pages){page_mm, back ? 2 : 1, back, draw_test, &page_mm},
        error);
}
