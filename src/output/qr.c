#include "qr.h"

#include <errno.h>
#include <qrencode.h>
#include <string.h>

#define QUIET 4 /* modules; ISO/IEC 18004 */

enum status qr_svg(FILE *out, const char *text, struct error *error)
{
    QRcode *code = QRcode_encodeString(text, 0, QR_ECLEVEL_M, QR_MODE_8, 1);
    int side;

    if (!code)
        return error_set(error, STATUS_MEMORY, "no QR code can be made of %zu letters (%s)",
                         strlen(text), strerror(errno));
    side = code->width + 2 * QUIET;
    fprintf(out,
            "<svg class=\"qr\" viewBox=\"0 0 %d %d\" role=\"img\" aria-label=\"QR code of the "
            "address\" shape-rendering=\"crispEdges\"><path fill=\"#fff\" d=\"M0 0h%dv%dH0z\"/>"
            "<path fill=\"#000\" d=\"",
            side, side, side, side);
    for (int i = 0; i < code->width * code->width; i++)
        if (code->data[i] & 1)
            fprintf(out, "M%d %dh1v1h-1z", QUIET + i % code->width, QUIET + i / code->width);
    fputs("\"/></svg>\n", out);
    QRcode_free(code);
    return STATUS_OK;
}
