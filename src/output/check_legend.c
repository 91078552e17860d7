#include "check_drawing.h"
#include "check_flow.h"
#include "check_marks.h"

#include <math.h>

/* What the marks mean, in words. */

enum mark {
    MARK_CELL,
    MARK_CHIP,
    MARK_RING,
    MARK_NUMBERS,
    MARK_EMPTY,
    MARK_UNREADABLE,
    MARK_LOOK,
    MARK_PATCH,
    MARK_LEFT_OUT,
    MARK_NOTCH,
    MARKS
};

static const char *const mark_words[MARKS] = {
    [MARK_CELL] = "a cell as found; the inner frame is the area that was averaged",
    [MARK_CHIP] = "the colour measured, as it is in neutral light",
    [MARK_RING] = "no screen shows this colour; the chip is as near as it gets",
    [MARK_NUMBERS] = ("L*, a*, b*; the true colour lies within \xC2\xB1 this much (delta E 2000), "
                      "95 times in 100"),
    [MARK_EMPTY] = "empty: no other colour than the paper's",
    [MARK_UNREADABLE] = "unreadable: its colour could not be told",
    [MARK_LOOK] = "take a look: the list says why",
    [MARK_PATCH] = "a patch of the card: left as measured, right as it should be",
    [MARK_LEFT_OUT] = "a patch left out",
    [MARK_NOTCH] = "the card's first patch: shows which way the card lies",
};

static void draw_mark(struct canvas *canvas, enum mark mark, struct box box)
{
    const struct shown light = {{0.62, 0.62, 0.62, 1}, false};
    const struct shown dark = {{0.5, 0.5, 0.5, 1}, false};
    const struct shown clipped = {light.paint, true};
    struct quad quad = box_quad(box), inner = quad_inset(&quad, 0.2);

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
    if (mark == MARK_LOOK)
        check_mark_look(canvas, (struct point){box.x + box.width / 2, box.y + box.height / 2});
    if (mark == MARK_NOTCH)
        check_mark_notch(canvas, &quad);
}

static void flow_mark(struct flow *flow, enum mark mark)
{
    struct box icon = {flow->box.x + 3, flow->box.y + 2, FLOW_ICON_PX - 14, 24};
    double least = flow->box.y + icon.height + 12;

    draw_mark(flow->canvas, mark, icon);
    check_flow_indent(flow, FLOW_ICON_PX);
    check_flow_words(flow, "%s", mark_words[mark]);
    check_flow_indent(flow, -FLOW_ICON_PX);
    check_flow_down(flow, fmax(flow->box.y, least));
}

/* Which marks this picture bears: the legend explains no others. */
static void find_marks(const struct check_drawing *drawing, bool borne[MARKS])
{
    bool measured = drawing->cells != NULL;

    borne[MARK_CELL] = borne[MARK_CHIP] = borne[MARK_NUMBERS] = borne[MARK_PATCH] = measured;
    borne[MARK_NOTCH] = check_has_card(drawing);
    for (int i = 0; i < check_cells(drawing); i++) {
        const struct reading *reading = &drawing->chart->readings[i];

        borne[MARK_RING] |= reading->found == CELL_INK && drawing->cells[i].clipped;
        borne[MARK_EMPTY] |= reading->found == CELL_EMPTY;
        borne[MARK_UNREADABLE] |= reading->found == CELL_UNREADABLE;
        borne[MARK_LOOK] |= check_wants_look(drawing, reading);
    }
    for (int i = 0; i < drawing->card->shape.patches; i++)
        borne[MARK_LEFT_OUT] |= check_has_card(drawing) && check_patch_left_out(drawing, i);
}

void check_legend_draw(const struct check_drawing *drawing, struct flow *flow, struct flow *beside)
{
    bool borne[MARKS] = {false};
    int count = 0, drawn = 0;

    find_marks(drawing, borne);
    for (enum mark mark = 0; mark < MARKS; mark++)
        count += borne[mark];
    check_flow_heading(flow, "How to read this picture");
    if (beside)
        check_flow_down(beside, flow->box.y);
    for (enum mark mark = 0; mark < MARKS; mark++)
        if (borne[mark])
            flow_mark(beside && 2 * drawn++ >= count ? beside : flow, mark);
}
