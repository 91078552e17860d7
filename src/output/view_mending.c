#include "html.h"

#include <string.h>

/* --- an ink ----------------------------------------------------------------------------------- */

static void begin_form(FILE *out, const struct view_frame *frame, const char *name)
{
    fputs("<form method=\"post\" class=\"row\" action=\"/ink?name=", out);
    html_query(out, name);
    fputs("\">", out);
    html_form_token(out, frame);
}

static void write_names(FILE *out, const struct overview *overview)
{
    fputs("<datalist id=\"inks\">", out);
    for (size_t i = 0; i < overview->count; i++) {
        fputs("<option value=\"", out);
        html_text(out, overview->inks[i].ink->name);
        fputs("\">", out);
    }
    fputs("</datalist>\n", out);
}

void view_mending(FILE *out, const struct view_frame *frame, const struct overview *overview,
                  const char *name)
{
    fputs("<details><summary>Set something right</summary>\n", out);
    begin_form(out, frame, name);
    fputs("<label class=\"field\"><span>It is called otherwise</span><input name=\"to\" required "
          "value=\"",
          out);
    html_text(out, name);
    fputs("\"></label><button name=\"do\" value=\"rename\">Rename</button></form>\n", out);
    begin_form(out, frame, name);
    fputs("<label class=\"field\"><span>It is the same ink as</span><input name=\"to\" required "
          "list=\"inks\" autocomplete=\"off\"></label><button name=\"do\" value=\"merge\">Make one "
          "of "
          "both</button></form>\n",
          out);
    write_names(out, overview);
    begin_form(out, frame, name);
    fputs("<button name=\"do\" value=\"forget\">Leave this ink out of everything</button>"
          "<span class=\"quiet\">Its readings are kept, and it can be taken back.</span></form>\n"
          "</details>\n",
          out);
}

/* --- photos ----------------------------------------------------------------------------------- */

static void write_field(FILE *out, const char *name, const char *label, const char *value)
{
    fprintf(out, "<label class=\"field\"><span>%s</span><input name=\"%s\" value=\"", label, name);
    html_text(out, value ? value : "");
    fputs("\"></label>", out);
}

/* What all readings of a photo say alike; "" where they differ, so that it is not changed unasked.
 */
static const char *common_text(const struct inventory_readings *readings, size_t from, size_t to,
                               size_t offset)
{
    const char *first = NULL;

    for (size_t i = from; i < to; i++) {
        const char *text = *(char *const *)((const char *)&readings->items[i] + offset);

        if (i > from && strcmp(text ? text : "", first ? first : "") != 0)
            return "";
        first = text;
    }
    return first;
}

static void write_photo(FILE *out, const struct view_frame *frame,
                        const struct inventory_readings *readings, size_t from, size_t to)
{
    const struct inventory_reading *first = &readings->items[from];
    char taken[CALENDAR_TEXT_SIZE];

    calendar_format(&first->taken, taken);
    fputs("<li><details><summary>", out);
    html_text(out, first->photo ? first->photo : "a photo");
    fprintf(out, " <span class=\"quiet\">%zu readings, taken %.16s, chart '", to - from, taken);
    html_text(out, first->chart ? first->chart : "");
    fputs("'</span></summary>\n<form method=\"post\" class=\"row\" action=\"/history\">", out);
    html_form_token(out, frame);
    fputs("<input type=\"hidden\" name=\"photo\" value=\"", out);
    html_text(out, first->hash);
    fputs("\">", out);
    write_field(out, "batch", "Batch",
                common_text(readings, from, to, offsetof(struct inventory_reading, batch)));
    write_field(out, "paper", "Paper",
                common_text(readings, from, to, offsetof(struct inventory_reading, paper)));
    write_field(out, "inked_at", "Inked at, as 2026-05-03 10:20", NULL);
    write_field(out, "at", "Taken at", NULL);
    fputs("<button name=\"do\" value=\"amend\">Set right</button><button name=\"do\" "
          "value=\"forget\">Leave its readings out</button></form></details></li>\n",
          out);
}

void view_kept_photos(FILE *out, const struct view_frame *frame,
                      const struct inventory_readings *readings)
{
    fputs("<h2>Photos that were kept</h2>\n<ul class=\"changes\">\n", out);
    for (size_t from = 0, to; from < readings->count; from = to) {
        for (to = from + 1; to < readings->count; to++)
            if (readings->items[to].photo_id != readings->items[from].photo_id)
                break;
        write_photo(out, frame, readings, from, to);
    }
    fputs("</ul>\n", out);
    if (!readings->count)
        fputs("<p>None yet.</p>\n", out);
}
