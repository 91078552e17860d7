#include "sheet_drawing.h"

#include "location/printed_chart.h"
#include "values/colour.h"

#define MEASURE_MM 100.0
#define MEASURE_TICK_MM 1.5
#define MEASURE_LINE_MM 0.15
#define REMARK_MM 2.6
#define TITLE_MM 5.5
#define TEXT_GAP_MM 2.0

/* Encoded values: far apart, and neither near the camera's ends. */
static const double grey_value[PRINTED_GREYS] = {0.45, 0.70};
static const double dark_value = 0.15;

struct box sheet_box(const struct quad *quad)
{
    return (struct box){quad->corner[0].x, quad->corner[0].y, quad->corner[2].x - quad->corner[0].x,
                        quad->corner[2].y - quad->corner[0].y};
}

/* A measure of 100 mm with its ends marked: downwards or to the right. */
static void draw_measure(struct print *print, struct point from, bool down)
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

/* A tag, all its modules. */
static void draw_tag(struct print *print, struct point corner, int sheet, int number)
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

/* --- the pages that photos are read by ---------------------------------------------------------
 */

struct box sheet_between_tags(const struct printed_chart *chart, bool lower)
{
    struct point left = printed_chart_tag(chart, lower ? 3 : 0);
    struct point right = printed_chart_tag(chart, lower ? 2 : 1);
    double from = left.x + PRINTED_TAG_MM + TEXT_GAP_MM;

    return (struct box){from, left.y, right.x - TEXT_GAP_MM - from, PRINTED_TAG_MM};
}

void sheet_page_marks(struct print *print, const struct printed_chart *chart, int number)
{
    for (int corner = 0; corner < 4; corner++)
        draw_tag(print, printed_chart_tag(chart, corner), number, corner);
}

void sheet_page_title(struct print *print, const struct printed_chart *chart, const char *title,
                      const char *line)
{
    struct box strip = sheet_between_tags(chart, false);
    const struct print_text letters = {TITLE_MM, true, LETTERING_LEFT, 1, SHEET_BLACK};

    print_words(print, &letters, (struct box){strip.x, strip.y, strip.width, TITLE_MM + 2}, title);
    sheet_remark(print, LETTERING_LEFT,
                 (struct box){strip.x, strip.y + TITLE_MM + 2.5, strip.width, 6}, line);
}

static struct paint grey(double value)
{
    return (struct paint){value, value, value, 1};
}

static void draw_greys(struct print *print, const struct printed_chart *chart)
{
    for (int dark = 0; dark < 2; dark++) {
        struct quad field = printed_chart_grey_field(chart, dark);

        if (dark)
            print_fill(print, sheet_box(&field), grey(dark_value));
        for (int i = 0; i < PRINTED_GREYS; i++) {
            struct quad quad = printed_chart_grey(chart, dark, i);

            print_fill(print, sheet_box(&quad), grey(grey_value[i]));
        }
    }
}

void sheet_page_foot(struct print *print, const struct printed_chart *chart)
{
    struct box strip = sheet_between_tags(chart, true);
    struct quad field = printed_chart_grey_field(chart, false);
    double from = field.corner[1].x + TEXT_GAP_MM;

    draw_greys(print, chart);
    draw_measure(print, (struct point){strip.x, strip.y + strip.height - 2.5}, false);
    draw_measure(print, (struct point){PRINTED_MARGIN_MM + 1, chart->first_mm.y}, true);
    sheet_remark(print, LETTERING_LEFT,
                 (struct box){from, strip.y, strip.x + strip.width - from, strip.height - 4},
                 "Both measures are 100 mm long if it was printed at 100 %. Keep the corner marks "
                 "and the greys free of ink.");
}

/* --- documents --------------------------------------------------------------------------------
 */

/* How the printer of a sheet prints that side; false: it is taken for true. */
static bool habit_of(const struct inventory_printer *printer, bool back, struct print_habit *habit)
{
    if (!printer)
        return false;
    *habit = (struct print_habit){printer->scale, back ? printer->back_mm : printer->front_mm};
    return true;
}

enum status sheet_write_pages(const char *path, const struct sheet_about *about,
                              const struct sheet_pages *pages, struct error *error)
{
    const struct print_about said = {about->title, about->made_utc_s};
    struct print *print;
    struct print_habit habit;
    enum status status = print_create(pages->page_mm, &said, &print, error);

    for (size_t i = 0; !status && i < (about->first_only ? 1 : pages->count); i++) {
        bool known = habit_of(about->printer, pages->backs && i % 2, &habit);

        status = print_add_page(print, known ? &habit : NULL, error);
        if (!status)
            pages->draw(print, about, pages->what, i);
    }
    if (!status)
        status = print_write(print, path, error);
    print_release(print);
    return status;
}

/* --- paints and words --------------------------------------------------------------------------
 */

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
