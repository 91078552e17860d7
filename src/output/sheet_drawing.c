#include "sheet_drawing.h"

#include "location/printed_chart.h"
#include "output/sheets.h"
#include "values/colour.h"

#define MEASURE_MM 100.0
#define MEASURE_TICK_MM 1.5
#define MEASURE_LINE_MM 0.15
#define REMARK_MM 2.6

struct box sheet_box(const struct quad *quad)
{
    return (struct box){quad->corner[0].x, quad->corner[0].y, quad->corner[2].x - quad->corner[0].x,
                        quad->corner[2].y - quad->corner[0].y};
}

void sheet_measure(struct print *print, struct point from, bool down)
{
    struct point along = {!down, down}, across = {down, !down};

    print_line(print, from, point_add(from, point_scale(along, MEASURE_MM)), MEASURE_LINE_MM,
               SHEET_QUIET);
    for (int i = 0; i <= 10; i++) {
        struct point tick = point_add(from, point_scale(along, MEASURE_MM * i / 10));
        double size = i % 10 ? MEASURE_TICK_MM / 2 : MEASURE_TICK_MM;

        print_line(print, tick, point_add(tick, point_scale(across, size)), MEASURE_LINE_MM,
                   SHEET_QUIET);
    }
}

void sheet_tag(struct print *print, struct point corner, int sheet, int number)
{
    const double module = PRINTED_TAG_MM / TAG_MODULES;
    bool black[TAG_MODULES][TAG_MODULES];

    tag_pattern(sheet, number, black);
    for (int row = 0; row < TAG_MODULES; row++)
        for (int column = 0, end; column < TAG_MODULES; column = end) {
            end = column + 1;
            while (end < TAG_MODULES && black[row][end] == black[row][column])
                end++;
            if (black[row][column])
                print_fill(print,
                           (struct box){corner.x + column * module, corner.y + row * module,
                                        (end - column) * module, module},
                           SHEET_BLACK);
        }
}

struct paint sheet_paint(struct lab lab)
{
    struct rgb srgb;

    colour_srgb_from_lab(&lab, 1, &srgb);
    return (struct paint){srgb.channel[0], srgb.channel[1], srgb.channel[2], 1};
}

void sheet_words(struct print *print, double size_mm, int lines, struct box box, const char *words)
{
    const struct print_text text = {size_mm, false, LETTERING_CENTRE, lines, SHEET_BLACK};

    print_words(print, &text, box, words);
}

void sheet_remark(struct print *print, enum lettering_side side, struct box box, const char *words)
{
    const struct print_text text = {REMARK_MM, false, side, 4, SHEET_QUIET};

    print_words(print, &text, box, words);
}

enum status sheet_check_name(const char *path, struct error *error)
{
    return print_check_name(path, error);
}
