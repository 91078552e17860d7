#include "html.h"

#include "base/utf8.h"

#include <ctype.h>
#include <math.h>

#define REPLACEMENT "\xEF\xBF\xBD" /* U+FFFD, for what is no text */

static const char *escape_of(int32_t code)
{
    switch (code) {
    case '&':
        return "&amp;";
    case '<':
        return "&lt;";
    case '>':
        return "&gt;";
    case '"':
        return "&quot;";
    case '\'':
        return "&#39;";
    default:
        return code < 0 || (utf8_is_control(code) && code != '\n') ? REPLACEMENT : NULL;
    }
}

void html_text(FILE *out, const char *text)
{
    while (*text) {
        const char *from = text;
        const char *escape = escape_of(utf8_next(&text));

        if (escape)
            fputs(escape, out);
        else
            fwrite(from, 1, (size_t)(text - from), out);
    }
}

void html_query(FILE *out, const char *text)
{
    for (; *text; text++)
        if (isalnum((unsigned char)*text))
            fputc(*text, out);
        else
            fprintf(out, "%%%02X", (unsigned char)*text);
}

void html_hexadecimal(FILE *out, const struct rgb *srgb)
{
    fprintf(out, "#%02x%02x%02x", (unsigned)lround(255 * srgb->channel[0]),
            (unsigned)lround(255 * srgb->channel[1]), (unsigned)lround(255 * srgb->channel[2]));
}

void html_swatch_on_screen(FILE *out, struct lab lab, const struct screen_colour *on_screen)
{
    fputs("<svg class=\"swatch\" viewBox=\"0 0 1 1\" preserveAspectRatio=\"none\" "
          "aria-hidden=\"true\" fill=\"",
          out);
    html_hexadecimal(out, &on_screen->srgb);
    fprintf(out, "\"><rect width=\"1\" height=\"1\" fill=\"lab(%.2f %.2f %.2f)\"/>%s</svg>", lab.L,
            lab.a, lab.b, on_screen->shown ? "" : "<path class=\"cut\" d=\"M.8 0H1V.2z\"/>");
}

void html_swatch(FILE *out, struct lab lab)
{
    struct screen_colour on_screen;

    colour_on_screen(&lab, 1, &on_screen);
    html_swatch_on_screen(out, lab, &on_screen);
}

void html_ink_address(FILE *out, const struct view_frame *frame, const struct range_ink *ink,
                      size_t place)
{
    if (frame->served) {
        fputs("/ink?name=", out);
        html_query(out, ink->name);
    } else {
        fprintf(out, "#ink-%zu", place + 1);
    }
}

void html_form_token(FILE *out, const struct view_frame *frame)
{
    fprintf(out,
            "<input type=\"hidden\" name=\"token\" value=\"%s\">"
            "<input type=\"hidden\" name=\"revision\" value=\"%s\">",
            frame->token, frame->revision);
}
