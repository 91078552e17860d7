#ifndef WOAD_OUTPUT_HTML_H
#define WOAD_OUTPUT_HTML_H

#include "output/views.h"

/* Pieces of HTML, written to a stream whose failure its owner looks for. */

/** Write text so that it is text in an element or in a quoted attribute, whatever it holds. */
void html_text(FILE *out, const char *text);

/** Write text as it stands in the query of an address. */
void html_query(FILE *out, const char *text);

/**
 * A tile of a colour, in CIELAB, and in sRGB for viewers without; one corner is cut off where
 * sRGB can't show the colour. A drawing, since served pages allow no style in an element.
 */
void html_swatch(FILE *out, struct lab lab);

/** The same of a colour whose look on a screen is known: of many this is much quicker. */
void html_swatch_on_screen(FILE *out, struct lab lab, const struct screen_colour *on_screen);

/** A colour as "#rrggbb". */
void html_hexadecimal(FILE *out, const struct rgb *srgb);

/** The address of an ink: within the document, or its own view. */
void html_ink_address(FILE *out, const struct view_frame *frame, const struct range_ink *ink,
                      size_t place);

/** The hidden fields of a form: the token without which it is not taken, and the state of the
 * inventory it was shown in. */
void html_form_token(FILE *out, const struct view_frame *frame);

#endif
