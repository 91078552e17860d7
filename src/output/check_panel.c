#include "check_drawing.h"
#include "check_marks.h"

#include "files/clock.h"
#include "measurement/words.h"
#include "output/table.h"

#include <ctype.h>
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#define TITLE_PX 30
#define SUBTITLE_PX 19
#define HEADING_PX 20
#define WORDS_PX 17
#define PARAGRAPH_GAP_PX 8
#define HEADING_GAP_PX 18
#define ICON_PX 44
#define CARD_WIDTH_MAX_PX 420
#define LINE_SIZE 512

/* A column that is filled from its top. */
struct flow {
    struct canvas *canvas;
    struct box box; /* what is left of it */
};

static struct flow flow_in(const struct check_drawing *drawing, struct box box)
{
    box.height = 1e6;
    return (struct flow){drawing->canvas, box};
}

static void flow_down(struct flow *flow, double y)
{
    flow->box.y = y;
}

static void flow_lettered(struct flow *flow, double size_px, bool bold, const char *text)
{
    const struct lettering lettering = {size_px, bold, LETTERING_LEFT, check_ink()};

    flow_down(flow, canvas_paragraph(flow->canvas, &lettering, flow->box, text) + PARAGRAPH_GAP_PX);
}

static void flow_heading(struct flow *flow, const char *text)
{
    flow_down(flow, flow->box.y + HEADING_GAP_PX);
    flow_lettered(flow, HEADING_PX, true, text);
}

PRINTF_LIKE(2, 3)
static void flow_words(struct flow *flow, const char *format, ...)
{
    char words[LINE_SIZE];
    va_list arguments;

    va_start(arguments, format);
    vsnprintf(words, sizeof words, format, arguments);
    va_end(arguments);
    flow_lettered(flow, WORDS_PX, false, words);
}

/* --- heading -------------------------------------------------------------------------------- */

static void draw_heading(const struct check_drawing *drawing)
{
    const struct measurement *measurement = drawing->measurement;
    const struct box *box = &drawing->layout.heading;
    const struct lettering title = {TITLE_PX, true, LETTERING_LEFT, check_ink()};
    const struct lettering subtitle = {SUBTITLE_PX, false, LETTERING_LEFT, check_faint()};
    char taken[CLOCK_TEXT_SIZE], line[LINE_SIZE];

    clock_format(&drawing->photo->taken, taken);
    snprintf(line, sizeof line, "%d rows of %d cells%s%s", measurement->chart.rows,
             measurement->chart.columns, taken[0] ? ", taken " : "", taken);
    canvas_text(drawing->canvas, &title, (struct point){box->x, box->y + TITLE_PX}, box->width,
                check_file_name(drawing->photo->path));
    canvas_text(drawing->canvas, &subtitle,
                (struct point){box->x, box->y + TITLE_PX + 1.5 * SUBTITLE_PX}, box->width, line);
}

/* --- facts ---------------------------------------------------------------------------------- */

/* Flags in words a person knows. */
static const struct {
    unsigned flag;
    const char *words;
} flag_meanings[] = {
    {FLAG_CLIPPED, "clipped (too bright or too dark for the camera)"},
    {FLAG_GLARE, "glare (a shine was left out)"},
    {FLAG_SHADOW, "shadow (darker paper around it)"},
    {FLAG_UNEVEN, "uneven (the ink varies within the cell)"},
    {FLAG_SMALL, "small (few pixels)"},
    {FLAG_OUTSIDE, "outside (beyond the colours of the card: less sure)"},
};

/* Cells told apart by a flag, or by how they agree with the names file. */
enum cell_kind { KIND_UNREADABLE, KIND_NAMED_EMPTY, KIND_NAMELESS, KIND_FLAGGED };

static bool is_of_kind(const struct check_drawing *drawing, const struct reading *reading,
                       enum cell_kind kind, unsigned flag)
{
    bool named = drawing->names && names_at(drawing->names, reading->row, reading->column)->ink[0];

    if (kind == KIND_UNREADABLE)
        return reading->found == CELL_UNREADABLE;
    if (kind == KIND_NAMED_EMPTY)
        return reading->found == CELL_EMPTY && named;
    if (kind == KIND_NAMELESS)
        return reading->found == CELL_INK && drawing->names && !named;
    return reading->found == CELL_INK && reading->flags & flag;
}

/* A line of the labels of all such cells; none if there are none. */
static bool list_cells(const struct check_drawing *drawing, struct flow *flow, const char *what,
                       enum cell_kind kind, unsigned flag)
{
    char line[LINE_SIZE], label[NAMES_LABEL_SIZE];
    int length = snprintf(line, sizeof line, "%s:", what), listed = 0, more = 0;

    for (int i = 0; i < check_cells(drawing); i++) {
        const struct reading *reading = &drawing->measurement->readings[i];

        if (!is_of_kind(drawing, reading, kind, flag))
            continue;
        names_label(reading->row, reading->column, label);
        if (length + 40 < LINE_SIZE)
            length += snprintf(line + length, sizeof line - (size_t)length, "%s %s",
                               listed++ ? "," : "", label);
        else
            more++;
    }
    if (more)
        snprintf(line + length, sizeof line - (size_t)length, " and %d more", more);
    if (listed)
        flow_words(flow, "%s", line);
    return listed > 0;
}

static void draw_counts(const struct check_drawing *drawing, struct flow *flow)
{
    int found[] = {[CELL_INK] = 0, [CELL_EMPTY] = 0, [CELL_UNREADABLE] = 0};
    double sum = 0;

    for (int i = 0; i < check_cells(drawing); i++) {
        const struct reading *reading = &drawing->measurement->readings[i];

        found[reading->found]++;
        sum += reading->found == CELL_INK ? reading->u95 : 0;
    }
    flow_heading(flow, "Cells");
    flow_words(flow, "%d with ink, %d empty, %d unreadable", found[CELL_INK], found[CELL_EMPTY],
               found[CELL_UNREADABLE]);
    if (found[CELL_INK])
        flow_words(flow, "each true to \xC2\xB1%.1f on average", sum / found[CELL_INK]);
}

static void draw_remarks(const struct check_drawing *drawing, struct flow *flow)
{
    bool any = list_cells(drawing, flow, "unreadable", KIND_UNREADABLE, 0);

    any |= list_cells(drawing, flow, "named, but empty", KIND_NAMED_EMPTY, 0);
    any |= list_cells(drawing, flow, "has ink, but no name", KIND_NAMELESS, 0);
    for (size_t i = 0; i < sizeof flag_meanings / sizeof *flag_meanings; i++)
        any |=
            list_cells(drawing, flow, flag_meanings[i].words, KIND_FLAGGED, flag_meanings[i].flag);
    if (!any)
        flow_words(flow, "Nothing stands out.");
}

/* The card as it is tabulated, upright, each patch split. */
static void draw_card(const struct check_drawing *drawing, struct flow *flow)
{
    double width = fmin(flow->box.width, CARD_WIDTH_MAX_PX);
    double pitch = width / CARD_COLUMNS, height = 0.72 * pitch;
    const struct paint surround = {0.12, 0.12, 0.12, 1};

    canvas_fill_box(drawing->canvas,
                    (struct box){flow->box.x, flow->box.y, width, CARD_ROWS * height}, surround);
    for (int i = 0; i < CARD_PATCHES; i++) {
        struct box patch = {flow->box.x + i % CARD_COLUMNS * pitch + 4,
                            flow->box.y + (double)(i / CARD_COLUMNS) * height + 4, pitch - 8,
                            height - 8};
        struct quad quad = quad_of_box(patch);

        check_mark_split(drawing->canvas, patch, &drawing->patch_measured[i],
                         &drawing->patch_tabulated[i]);
        if (check_patch_left_out(drawing, i))
            check_mark_cross(drawing->canvas, &quad);
        if (i == 0)
            check_mark_notch(drawing->canvas, &quad);
    }
    flow_down(flow, flow->box.y + CARD_ROWS * height + PARAGRAPH_GAP_PX);
}

static const char *why_left_out(const struct measurement *measurement, int patch)
{
    if (measurement->card.hidden[patch])
        return "its colour does not fit: covered, shining or damaged";
    return measurement->quality.measured[patch].L > 0
               ? "it does not agree with the other patches"
               : "clipped: too bright or too dark for the camera";
}

static void list_left_out(const struct check_drawing *drawing, struct flow *flow)
{
    for (int i = 0; i < CARD_PATCHES; i++)
        if (check_patch_left_out(drawing, i))
            flow_words(flow, "left out: %s (%s)", drawing->card->patch_name[i],
                       why_left_out(drawing->measurement, i));
}

static void draw_card_facts(const struct check_drawing *drawing, struct flow *flow)
{
    const struct correction_quality *quality = &drawing->measurement->quality;

    flow_heading(flow, "Reference card");
    draw_card(drawing, flow);
    flow_words(flow,
               "%d of %d patches used; each predicted from the others is %.1f off on average, "
               "%.1f at worst",
               quality->patches_used, CARD_PATCHES, quality->left_out_mean, quality->left_out_max);
    list_left_out(drawing, flow);
}

static void draw_light(const struct check_drawing *drawing, struct flow *flow)
{
    const struct measurement *measurement = drawing->measurement;
    const struct correction_quality *quality = &measurement->quality;
    struct box chip;

    flow_heading(flow, "Light and paper");
    flow_words(flow,
               "the light falls off by %.0f %% over card and sheet; its colour shifts by %.1f",
               100 * quality->light_falloff, quality->light_shift);
    chip = (struct box){flow->box.x + 3, flow->box.y + 2, ICON_PX - 14, 20};
    check_mark_chip(drawing->canvas, chip, &drawing->paper);
    flow->box.x += ICON_PX;
    flow->box.width -= ICON_PX;
    flow_words(flow, "the bare paper: %.0f %.0f %.0f", table_rounded(measurement->paper.L, 0),
               table_rounded(measurement->paper.a, 0), table_rounded(measurement->paper.b, 0));
    flow->box.x -= ICON_PX;
    flow->box.width += ICON_PX;
    flow_words(flow, "corrected by %s, measured in %.2f s", quality->method, measurement->seconds);
}

/* --- legend --------------------------------------------------------------------------------- */

enum mark {
    MARK_CELL,
    MARK_CHIP,
    MARK_RING,
    MARK_NUMBERS,
    MARK_EMPTY,
    MARK_UNREADABLE,
    MARK_WARNING,
    MARK_PATCH,
    MARK_LEFT_OUT,
    MARK_NOTCH,
    MARKS
};

static const char *const mark_words[MARKS] = {
    [MARK_CELL] = "a cell as found; the inner frame is the area that was averaged",
    [MARK_CHIP] = "the colour measured, as it is in neutral light",
    [MARK_RING] = "no screen shows this colour; the chip is as near as it gets",
    [MARK_NUMBERS] = "L*, a*, b*; the true colour lies within \xC2\xB1 this much (delta E 2000), "
                     "95 times in 100",
    [MARK_EMPTY] = "empty: no other colour than the paper's",
    [MARK_UNREADABLE] = "unreadable: nothing was measured",
    [MARK_WARNING] = "take a look: the words beside it say why",
    [MARK_PATCH] = "a patch of the card: left as measured, right as it should be",
    [MARK_LEFT_OUT] = "a patch left out",
    [MARK_NOTCH] = "the card's first patch, brown: shows which way the card lies",
};

static void draw_mark(struct canvas *canvas, enum mark mark, struct box box)
{
    const struct shown light = {{0.62, 0.62, 0.62, 1}, false};
    const struct shown dark = {{0.5, 0.5, 0.5, 1}, false};
    const struct shown clipped = {light.paint, true};
    struct quad quad = quad_of_box(box), inner = quad_inset(&quad, 0.2);

    if (mark == MARK_CELL || mark == MARK_EMPTY)
        canvas_outline_quad(canvas, &quad, (struct outline){2, mark == MARK_EMPTY, 1});
    if (mark == MARK_CELL)
        canvas_outline_quad(canvas, &inner, (struct outline){1, false, 0.75});
    if (mark == MARK_CHIP || mark == MARK_RING || mark == MARK_NOTCH)
        check_mark_chip(canvas, box, mark == MARK_RING ? &clipped : &light);
    if (mark == MARK_NUMBERS)
        check_mark_plate(canvas, (struct box){box.x - 3, box.y, box.width + 6, box.height}, 12,
                         "\xC2\xB1"
                         "1.4");
    if (mark == MARK_PATCH || mark == MARK_LEFT_OUT)
        check_mark_split(canvas, box, &light, &dark);
    if (mark == MARK_UNREADABLE || mark == MARK_LEFT_OUT)
        check_mark_cross(canvas, &quad);
    if (mark == MARK_WARNING)
        check_mark_warning(canvas, (struct box){box.x + 4, box.y, box.width - 8, box.height});
    if (mark == MARK_NOTCH)
        check_mark_notch(canvas, &quad);
}

static void flow_mark(struct flow *flow, enum mark mark)
{
    struct box icon = {flow->box.x + 3, flow->box.y + 2, ICON_PX - 14, 24};
    double least = flow->box.y + icon.height + 12;

    draw_mark(flow->canvas, mark, icon);
    flow->box.x += ICON_PX;
    flow->box.width -= ICON_PX;
    flow_words(flow, "%s", mark_words[mark]);
    flow->box.x -= ICON_PX;
    flow->box.width += ICON_PX;
    flow_down(flow, fmax(flow->box.y, least));
}

/* Which marks this picture bears: the legend explains no others. */
static void find_marks(const struct check_drawing *drawing, bool borne[MARKS])
{
    bool measured = drawing->cells != NULL;

    borne[MARK_CELL] = borne[MARK_CHIP] = borne[MARK_NUMBERS] = borne[MARK_PATCH] = measured;
    borne[MARK_NOTCH] = check_has_card(drawing);
    for (int i = 0; i < check_cells(drawing); i++) {
        const struct reading *reading = &drawing->measurement->readings[i];

        borne[MARK_RING] |= reading->found == CELL_INK && drawing->cells[i].clipped;
        borne[MARK_EMPTY] |= reading->found == CELL_EMPTY;
        borne[MARK_UNREADABLE] |= reading->found == CELL_UNREADABLE;
        borne[MARK_WARNING] |= check_wants_look(drawing, reading);
    }
    for (int i = 0; i < CARD_PATCHES; i++)
        borne[MARK_LEFT_OUT] |= check_has_card(drawing) && check_patch_left_out(drawing, i);
}

static void draw_legend(const struct check_drawing *drawing, struct flow *flow)
{
    bool borne[MARKS] = {false};

    find_marks(drawing, borne);
    flow_heading(flow, "How to read this picture");
    for (enum mark mark = 0; mark < MARKS; mark++)
        if (borne[mark])
            flow_mark(flow, mark);
}

/* --- all of it ------------------------------------------------------------------------------ */

double check_panel_draw(const struct check_drawing *drawing)
{
    struct flow facts = flow_in(drawing, drawing->layout.facts);
    struct flow notes = flow_in(drawing, drawing->layout.notes);

    draw_heading(drawing);
    check_grid_draw(drawing);
    draw_counts(drawing, &facts);
    draw_remarks(drawing, &facts);
    draw_card_facts(drawing, &facts);
    draw_light(drawing, &notes);
    draw_legend(drawing, &notes);
    return fmax(drawing->layout.grid.y + drawing->layout.grid.height,
                fmax(facts.box.y, notes.box.y));
}

/* The message without the photo's path, which the title has, and with a capital. */
static void message_alone(const struct check_drawing *drawing, const char *message,
                          char alone[sizeof((struct error *)0)->message])
{
    size_t path = strlen(drawing->photo->path);

    if (!strncmp(message, drawing->photo->path, path) && !strncmp(message + path, ": ", 2))
        message += path + 2;
    snprintf(alone, sizeof((struct error *)0)->message, "%s", message);
    alone[0] = (char)toupper((unsigned char)alone[0]);
}

double check_refusal_draw(const struct check_drawing *drawing, const char *message)
{
    const struct measurement *measurement = drawing->measurement;
    struct flow flow = flow_in(drawing, drawing->layout.panel);
    char alone[sizeof((struct error *)0)->message], title[LINE_SIZE];

    message_alone(drawing, message, alone);
    snprintf(title, sizeof title, "Not measured: %s", check_file_name(drawing->photo->path));
    flow_lettered(&flow, TITLE_PX, true, title);
    flow_lettered(&flow, 24, false, alone);
    flow_heading(&flow, "Found in the photo");
    if (check_has_card(drawing))
        flow_words(&flow, "the reference card, turned %d degrees; it is outlined",
                   90 * measurement->card.turns);
    else
        flow_words(&flow, "no reference card");
    if (check_has_chart(drawing))
        flow_words(&flow,
                   "a chart of %d rows of %d cells; each is outlined, dashed where only its "
                   "neighbours tell its place",
                   measurement->chart.rows, measurement->chart.columns);
    else
        flow_words(&flow, check_has_card(drawing) ? "no chart"
                                                  : "a chart was not looked for without a card");
    if (check_has_card(drawing))
        draw_legend(drawing, &flow);
    return flow.box.y;
}
