#ifndef WOAD_OUTPUT_HTML_H
#define WOAD_OUTPUT_HTML_H

#include "values/colour.h"

#include <stdio.h>

/* Pieces of HTML, written to a stream whose failure its owner looks for. */

/** Begin a document: head, style, and the body with its heading. */
void html_begin(FILE *out, const char *title, const char *remark);
void html_end(FILE *out);

/** Write text so that it is text in an element or in a quoted attribute, whatever it holds. */
void html_text(FILE *out, const char *text);

/** The style of an element of a colour: in CIELAB, and before it in sRGB for viewers without. */
void html_colour(FILE *out, struct lab lab);

#endif
