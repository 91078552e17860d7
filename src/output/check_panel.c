#include "check_drawing.h"
#include "base/text.h"
#include "check_flow.h"
#include "check_marks.h"

#include "values/calendar.h"
#include "measurement/words.h"
#include "output/card_report.h"
#include "output/fault_words.h"
#include "output/table.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#define TITLE_PX 30
#define SUBTITLE_PX 19
#define CARD_WIDTH_MAX_PX 420
#define FOOTER_GAP_PX 40

/* --- heading -------------------------------------------------------------------------------- */

static void draw_heading(const struct check_drawing *drawing)
{
    const struct box *box = &drawing->layout.heading;
    const struct lettering title = {TITLE_PX, true, LETTERING_LEFT, check_ink()};
    const struct lettering subtitle = {SUBTITLE_PX, false, LETTERING_LEFT, check_faint()};
    const struct chart_pose *chart = &drawing->chart->pose;
    char taken[CALENDAR_TEXT_SIZE], of_several[32] = "", line[FLOW_LINE_SIZE];
    char verdict[FAULT_WORDS_SIZE];

    calendar_format(&drawing->photo->taken, taken);
    if (chart->charts > 1)
        snprintf(of_several, sizeof of_several, "chart %d of %d: ", chart->number, chart->charts);
    snprintf(line, sizeof line, "%s: %s%d rows of %d cells%s%s",
             check_file_name(drawing->photo->path), of_several, chart->rows, chart->columns,
             taken[0] ? ", taken " : "", taken);
    fault_words_verdict_line(&drawing->chart->faults, verdict);
    verdict[0] = (char)toupper((unsigned char)verdict[0]);
    canvas_text(drawing->canvas, &title, (struct point){box->x, box->y + TITLE_PX}, box->width,
                verdict);
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
    {FLAG_UNPROMISED, "unpromised (the photo is spoilt: no uncertainty holds)"},
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
    char line[FLOW_LINE_SIZE], label[NAMES_LABEL_SIZE];
    int length = snprintf(line, sizeof line, "%s:", what), listed = 0, more = 0;

    for (int i = 0; i < check_cells(drawing); i++) {
        const struct reading *reading = &drawing->chart->readings[i];

        if (!is_of_kind(drawing, reading, kind, flag))
            continue;
        names_label(reading->row, reading->column, label);
        if (length + 40 < FLOW_LINE_SIZE)
            length += snprintf(line + length, sizeof line - (size_t)length, "%s %s",
                               listed++ ? "," : "", label);
        else
            more++;
    }
    if (more)
        snprintf(line + length, sizeof line - (size_t)length, " and %d more", more);
    if (listed)
        check_flow_words(flow, "%s", line);
    return listed > 0;
}

static void draw_counts(const struct check_drawing *drawing, struct flow *flow)
{
    int found[] = {[CELL_INK] = 0, [CELL_EMPTY] = 0, [CELL_UNREADABLE] = 0};
    double sum = 0;

    for (int i = 0; i < check_cells(drawing); i++) {
        const struct reading *reading = &drawing->chart->readings[i];

        found[reading->found]++;
        sum += reading->found == CELL_INK ? reading->u95 : 0;
    }
    check_flow_heading(flow, "Cells");
    check_flow_words(flow, "%d with ink, %d empty, %d unreadable", found[CELL_INK],
                     found[CELL_EMPTY], found[CELL_UNREADABLE]);
    if (found[CELL_INK])
        check_flow_words(flow, "each true to \xC2\xB1%.1f on average", sum / found[CELL_INK]);
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
        check_flow_words(flow, "Nothing stands out.");
}

/* The card as it is tabulated, upright, each patch split. */
static void draw_card(const struct check_drawing *drawing, struct flow *flow)
{
    double width = fmin(flow->box.width, CARD_WIDTH_MAX_PX);
    const struct card_shape *shape = &drawing->card->shape;
    double pitch = width / shape->columns, height = 0.72 * pitch;
    const struct paint surround = {0.12, 0.12, 0.12, 1};

    canvas_fill_box(drawing->canvas,
                    (struct box){flow->box.x, flow->box.y, width, shape->rows * height}, surround);
    for (int i = 0; i < shape->patches; i++) {
        struct box patch = {flow->box.x + i % shape->columns * pitch + 4,
                            flow->box.y + (double)(i / shape->columns) * height + 4, pitch - 8,
                            height - 8};
        struct quad quad = box_quad(patch);

        check_mark_split(drawing->canvas, patch, &drawing->patch_measured[i],
                         &drawing->patch_tabulated[i]);
        if (check_patch_left_out(drawing, i))
            check_mark_cross(drawing->canvas, &quad);
        if (i == 0)
            check_mark_notch(drawing->canvas, &quad);
    }
    check_flow_down(flow, flow->box.y + shape->rows * height + FLOW_GAP_PX);
}

static const char *why_left_out(const struct measurement *measurement, int patch)
{
    if (measurement->card.outside[patch])
        return "outside the photo";
    if (measurement->card.hidden[patch])
        return "its colour does not fit: covered, shining or damaged";
    return measurement->quality.measured[patch].L > 0
               ? "it does not agree with the other patches"
               : "clipped: too bright or too dark for the camera";
}

static void list_left_out(const struct check_drawing *drawing, struct flow *flow)
{
    for (int i = 0; i < drawing->card->shape.patches; i++)
        if (check_patch_left_out(drawing, i))
            check_flow_words(flow, "left out: %s (%s)", drawing->card->patch_name[i],
                             why_left_out(drawing->measurement, i));
}

static void draw_card_facts(const struct check_drawing *drawing, struct flow *flow)
{
    const struct correction_quality *quality = &drawing->measurement->quality;

    check_flow_heading(flow, "Reference card");
    draw_card(drawing, flow);
    check_flow_words(
        flow,
        "%d of %d patches used; each predicted from the others is %.1f off on average, "
        "%.1f at worst",
        quality->patches_used, quality->patches, quality->left_out_mean, quality->left_out_max);
    list_left_out(drawing, flow);
    if (card_report_verdict(quality) == CARD_OF_OTHER_EDITION)
        check_flow_words(flow, "looks like its other edition, %s: that leaves %.1f",
                         drawing->card->other_edition, quality->as_other_edition);
}

static void draw_light(const struct check_drawing *drawing, struct flow *flow)
{
    const struct measurement *measurement = drawing->measurement;
    const struct correction_quality *quality = &measurement->quality;
    struct box chip;

    check_flow_heading(flow, "Light and paper");
    check_flow_words(
        flow, "the light falls off by %.0f %% over card and sheet; its colour shifts by %.1f",
        100 * quality->light_falloff, quality->light_shift);
    chip = (struct box){flow->box.x + 3, flow->box.y + 2, FLOW_ICON_PX - 14, 20};
    check_mark_chip(drawing->canvas, chip, &drawing->paper);
    check_flow_indent(flow, FLOW_ICON_PX);
    check_flow_words(flow, "the bare paper: %.0f %.0f %.0f", text_rounded(measurement->paper.L, 0),
                     text_rounded(measurement->paper.a, 0), text_rounded(measurement->paper.b, 0));
    check_flow_indent(flow, -FLOW_ICON_PX);
}

/* --- all of it ------------------------------------------------------------------------------ */

/* Light and legend in three columns over the whole width. */
static double draw_footer(const struct check_drawing *drawing, struct box box)
{
    double third = (box.width - 2 * FOOTER_GAP_PX) / 3;
    struct flow columns[3];

    for (int i = 0; i < 3; i++)
        columns[i] = check_flow_in(
            drawing->canvas, (struct box){box.x + i * (third + FOOTER_GAP_PX), box.y, third, 0});
    draw_light(drawing, &columns[0]);
    check_legend_draw(drawing, &columns[1], &columns[2]);
    return fmax(columns[0].box.y, fmax(columns[1].box.y, columns[2].box.y));
}

double check_panel_draw(const struct check_drawing *drawing)
{
    struct check_drawing placed = *drawing;
    struct check_layout *layout = &placed.layout;
    struct flow facts = check_flow_in(drawing->canvas, layout->facts);
    struct flow notes;

    draw_heading(drawing);
    draw_counts(drawing, &facts);
    draw_remarks(drawing, &facts);
    draw_card_facts(drawing, &facts);
    if (layout->grid.y > layout->facts.y) /* long lists push down a grid that stands below them */
        check_layout_push(layout, facts.box.y);
    check_grid_draw(&placed);
    notes = check_flow_in(drawing->canvas, layout->notes);
    if (layout->notes_are_footer) {
        notes.box.y = fmax(notes.box.y, facts.box.y);
        return draw_footer(drawing, notes.box);
    }
    draw_light(drawing, &notes);
    check_legend_draw(drawing, &notes, NULL);
    return fmax(layout->grid.y + layout->grid.height, fmax(facts.box.y, notes.box.y));
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
    struct flow flow = check_flow_in(drawing->canvas, drawing->layout.panel);
    char alone[sizeof((struct error *)0)->message], title[FLOW_LINE_SIZE];

    message_alone(drawing, message, alone);
    snprintf(title, sizeof title, "Not measured: %s", check_file_name(drawing->photo->path));
    check_flow_lettered(&flow, TITLE_PX, true, title);
    check_flow_lettered(&flow, 24, false, alone);
    check_flow_heading(&flow, "Found in the photo");
    if (check_has_card(drawing))
        check_flow_words(&flow, "the reference card, turned %d degrees; it is outlined",
                         90 * measurement->card.turns);
    else
        check_flow_words(&flow, "no reference card");
    if (check_has_chart(drawing))
        check_flow_words(&flow,
                         "a chart of %d rows of %d cells; each is outlined, dashed where only its "
                         "neighbours tell its place",
                         drawing->chart->pose.rows, drawing->chart->pose.columns);
    else
        check_flow_words(&flow, check_has_card(drawing)
                                    ? "no chart"
                                    : "a chart was not looked for without a card");
    if (check_has_card(drawing))
        check_legend_draw(drawing, &flow, NULL);
    return flow.box.y;
}
