#ifndef WOAD_OUTPUT_QR_H
#define WOAD_OUTPUT_QR_H

#include "base/error.h"

#include <stdio.h>

/**
 * Write a text as a QR code (ISO/IEC 18004), an SVG element that scales, with the quiet margin of
 * four modules around it that cameras need.
 *
 * Returns: STATUS_OK; STATUS_MEMORY, also if the text is too long for one.
 */
MUST_USE enum status qr_svg(FILE *out, const char *text, struct error *error);

#endif
