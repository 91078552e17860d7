#include "html.h"

#include <string.h>
#include <strings.h>

/* Whether a name holds what is looked for, in whatever case of plain letters. */
static bool matches(const char *name, const char *find)
{
    size_t length = find ? strlen(find) : 0;

    for (; length && strlen(name) >= length; name++)
        if (strncasecmp(name, find, length) == 0)
            return true;
    return !length;
}

static void write_tile(FILE *out, const struct view_frame *frame, const struct overview *overview,
                       size_t place)
{
    const struct range_ink *ink = overview->inks[place].ink;

    fputs("<li><a href=\"", out);
    html_ink_address(out, frame, ink, place);
    fputs("\">", out);
    html_swatch_on_screen(out, ink->lab, &overview->inks[place].on_screen);
    html_text(out, ink->name);
    fputs("</a></li>\n", out);
}

/* One family of inks that stand together. */
struct family {
    size_t from, to;
    const char *find;
};

/* "Reds, 12" over the tiles of one family; nothing if none matches. */
static void write_family(FILE *out, const struct view_frame *frame, const struct overview *overview,
                         const struct family *family)
{
    const char *name = overview->ordered.families.names[overview->inks[family->from].family];
    size_t count = 0;

    for (size_t i = family->from; i < family->to; i++)
        count += matches(overview->inks[i].ink->name, family->find);
    if (!count)
        return;
    fputs("<section data-family><h2>", out);
    html_text(out, name);
    fprintf(out, " <span class=\"quiet\">%zu</span></h2>\n<ul class=\"wall\">\n", count);
    for (size_t i = family->from; i < family->to; i++)
        if (matches(overview->inks[i].ink->name, family->find))
            write_tile(out, frame, overview, i);
    fputs("</ul></section>\n", out);
}

static void write_search(FILE *out, const char *find)
{
    fputs("<form class=\"row\" role=\"search\"><label class=\"field\"><span>Find an ink</span>"
          "<input type=\"search\" name=\"find\" data-find autocomplete=\"off\" value=\"",
          out);
    html_text(out, find ? find : "");
    fputs("\"></label><button>Find</button></form>\n", out);
}

/* The script follows the link by itself. */
static void write_rough(FILE *out)
{
    fputs(
        "<p class=\"quiet\" role=\"status\" data-rough>In each family from light to dark, so that "
        "it shows at once. <a class=\"target\" href=\"/order\">Put each ink beside those most "
        "like it</a></p>\n",
        out);
}

void view_wall(FILE *out, const struct view_frame *frame, const struct overview *overview,
               const char *find)
{
    struct family family = {.find = find};

    if (frame->served && overview->count)
        write_search(out, find);
    if (frame->served && overview->ordered.rough && overview->count <= ORDER_INKS_MAX)
        write_rough(out);
    for (; family.from < overview->count; family.from = family.to) {
        for (family.to = family.from + 1; family.to < overview->count; family.to++)
            if (overview->inks[family.to].family != overview->inks[family.from].family)
                break;
        write_family(out, frame, overview, &family);
    }
    if (!overview->count)
        fputs("<p>No ink has a colour yet. Measure a photo of a chart of swatches first.</p>\n",
              out);
}
