#include "html.h"

#include "base/utf8.h"

#include <math.h>
#include <string.h>

/* Swatches are the only colour: paper and letters are neutral, in the dark too. Written for one
 * column on a phone up; nothing is told by colour alone. */
static const char style[] =
    ":root{color-scheme:light dark;--paper:#f4f4f4;--ink:#1c1c1c;--quiet:#595959;--line:#c4c4c4}"
    "@media(prefers-color-scheme:dark){:root{--paper:#2b2b2b;--ink:#ececec;--quiet:#b3b3b3;"
    "--line:#5c5c5c}}"
    "*{box-sizing:border-box}"
    "body{margin:0 auto;max-width:76rem;padding:1.5rem;background:var(--paper);color:var(--ink);"
    "font:1rem/1.5 ui-serif,Georgia,'Times New Roman',serif}"
    "h1{font-size:1.6rem;margin:0}h2{font-size:1.15rem;margin:2.5rem 0 .75rem}"
    "h2::first-letter{text-transform:uppercase}h3{font-size:1.05rem;margin:0}p{margin:.3rem "
    "0}.quiet{color:var(--quiet);font-size:.875rem}"
    "a{color:inherit}a:focus-visible{outline:3px solid currentColor;outline-offset:3px}"
    "ul.wall{list-style:none;margin:0;padding:0;display:grid;gap:1rem .75rem;"
    "grid-template-columns:repeat(auto-fill,minmax(7rem,1fr))}"
    "ul.wall a{display:block;text-decoration:none;overflow-wrap:anywhere;line-height:1.3}"
    ".swatch{display:block;aspect-ratio:1;margin-bottom:.35rem;border:1px solid var(--line)}"
    "article{display:grid;grid-template-columns:minmax(6rem,10rem) 1fr;gap:.5rem 1.25rem;"
    "padding:1.25rem 0;border-top:1px solid var(--line);break-inside:avoid}"
    "article:target h3{text-decoration:underline;text-underline-offset:.3em}"
    "article ul{list-style:none;margin:.5rem 0 0;padding:0;display:grid;gap:.5rem;"
    "grid-template-columns:repeat(auto-fill,minmax(15rem,1fr))}"
    "article li a{display:grid;grid-template-columns:2.75rem 1fr;gap:.6rem;align-items:center;"
    "min-height:2.75rem;text-decoration:none}"
    "article li .swatch{margin:0}"
    "@media print{body{max-width:none;padding:0;font-size:10pt;background:#fff;color:#000}"
    "ul.wall{grid-template-columns:repeat(6,1fr)}.swatch{print-color-adjust:exact;"
    "-webkit-print-color-adjust:exact}ul.wall li{break-inside:avoid}}";

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
        return code < 0 || utf8_is_control(code) ? REPLACEMENT : NULL;
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

void html_colour(FILE *out, struct lab lab)
{
    struct rgb srgb;

    colour_srgb_from_lab(&lab, 1, &srgb);
    fprintf(out, "background:#%02x%02x%02x;background:lab(%.2f %.2f %.2f)",
            (unsigned)lround(255 * srgb.channel[0]), (unsigned)lround(255 * srgb.channel[1]),
            (unsigned)lround(255 * srgb.channel[2]), lab.L, lab.a, lab.b);
}

void html_begin(FILE *out, const char *title, const char *remark)
{
    fputs("<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
          "<meta name=\"viewport\" content=\"width=device-width,initial-scale=1\">\n<title>",
          out);
    html_text(out, title);
    fprintf(out, "</title>\n<style>%s</style>\n</head>\n<body>\n<header>\n<h1>", style);
    html_text(out, title);
    fputs("</h1>\n<p class=\"quiet\">", out);
    html_text(out, remark);
    fputs("</p>\n</header>\n<main>\n", out);
}

void html_end(FILE *out)
{
    fputs("</main>\n</body>\n</html>\n", out);
}
