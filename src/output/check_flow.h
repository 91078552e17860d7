#ifndef WOAD_OUTPUT_CHECK_FLOW_H
#define WOAD_OUTPUT_CHECK_FLOW_H

/* Private to src/output: a column of the check picture, filled from its top. */

#include "canvas.h"

#define FLOW_GAP_PX 8      /* below each paragraph */
#define FLOW_ICON_PX 44    /* a small picture and the gap behind it */
#define FLOW_LINE_SIZE 512 /* bytes of one paragraph at most */

struct flow {
    struct canvas *canvas;
    struct box box; /* what is left of the column */
};

struct flow check_flow_in(struct canvas *canvas, struct box box);

/** Go on at `y`. */
void check_flow_down(struct flow *flow, double y);

/** Move the column's left side; a negative `px` moves it back. */
void check_flow_indent(struct flow *flow, double px);

void check_flow_lettered(struct flow *flow, double size_px, bool bold, const char *text);
void check_flow_heading(struct flow *flow, const char *text);
void check_flow_words(struct flow *flow, const char *format, ...) PRINTF_LIKE(2, 3);

#endif
