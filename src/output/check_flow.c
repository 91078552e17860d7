#include "check_flow.h"

#include "check_marks.h"

#include <stdarg.h>
#include <stdio.h>

#define HEADING_PX 20
#define HEADING_GAP_PX 18
#define WORDS_PX 17
#define ENDLESS_PX 1e6

struct flow check_flow_in(struct canvas *canvas, struct box box)
{
    box.height = ENDLESS_PX;
    return (struct flow){canvas, box};
}

void check_flow_down(struct flow *flow, double y)
{
    flow->box.y = y;
}

void check_flow_indent(struct flow *flow, double px)
{
    flow->box.x += px;
    flow->box.width -= px;
}

void check_flow_lettered(struct flow *flow, double size_px, bool bold, const char *text)
{
    const struct lettering lettering = {size_px, bold, LETTERING_LEFT, check_ink()};

    check_flow_down(flow,
                    canvas_paragraph(flow->canvas, &lettering, flow->box, text) + FLOW_GAP_PX);
}

void check_flow_heading(struct flow *flow, const char *text)
{
    check_flow_down(flow, flow->box.y + HEADING_GAP_PX);
    check_flow_lettered(flow, HEADING_PX, true, text);
}

void check_flow_words(struct flow *flow, const char *format, ...)
{
    char words[FLOW_LINE_SIZE];
    va_list arguments;

    va_start(arguments, format);
    vsnprintf(words, sizeof words, format, arguments);
    va_end(arguments);
    check_flow_lettered(flow, WORDS_PX, false, words);
}
