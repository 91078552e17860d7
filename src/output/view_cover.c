#include "output/view_answers.h"

#include "html.h"

static void write_tile(FILE *out, const struct view_frame *frame, const struct range_ink *ink)
{
    fputs("<li><a href=\"", out);
    html_ink_address(out, frame, ink, 0);
    fputs("\">", out);
    html_swatch(out, ink->lab);
    html_text(out, ink->name);
    fputs("</a></li>\n", out);
}

/* An ink to buy, and those it stands in for; COVER_NOBODY: those that none stands in for. */
static void write_served(FILE *out, const struct view_frame *frame, const struct view_cover *asked,
                         size_t leader)
{
    const struct cover *cover = asked->cover;

    fputs("<ul class=\"wall small\">\n", out);
    for (size_t i = 0; i < cover->count; i++) {
        size_t stand_in = cover->inks[i].served ? cover->inks[i].stand_in : COVER_NOBODY;

        if (i != leader && stand_in == leader)
            write_tile(out, frame, &asked->inks[i]);
    }
    fputs("</ul>\n", out);
}

static void write_purchase(FILE *out, const struct view_frame *frame,
                           const struct view_cover *asked, size_t step)
{
    const struct cover *cover = asked->cover;

    for (size_t i = 0; i < cover->count; i++) {
        if (cover->inks[i].step != step)
            continue;
        fprintf(out, "<article><div>");
        html_swatch(out, asked->inks[i].lab);
        fprintf(out, "</div><div><h3>%zu. ", step);
        html_text(out, asked->inks[i].name);
        fprintf(out, "</h3><p class=\"quiet\">%s</p>\n",
                cover->inks[i].serves > 1 ? "stands in for" : "stands for itself alone");
        write_served(out, frame, asked, i);
        fputs("</div></article>\n", out);
    }
}

static void write_question(FILE *out, const struct view_cover *asked)
{
    fprintf(out,
            "<form class=\"row\"><label class=\"field\"><span>How many to buy</span><input "
            "type=\"number\" name=\"count\" min=\"1\" max=\"100\" value=\"%d\"></label>"
            "<label class=\"field\"><span>How far off a stand-in may be (3 close, 8 acceptable)"
            "</span><input type=\"number\" name=\"within\" min=\"0.5\" max=\"30\" step=\"0.5\" "
            "value=\"%g\"></label><button>Choose</button></form>\n",
            asked->number, asked->within);
}

void view_cover(FILE *out, const struct view_frame *frame, const struct view_cover *asked)
{
    const struct cover *cover = asked->cover;

    write_question(out, asked);
    if (!cover->count) {
        fputs("<p>No ink has a colour yet.</p>\n", out);
        return;
    }
    fprintf(out, "<p class=\"verdict\">With ");
    if (cover->bought == 1)
        fputs("this one", out);
    else
        fprintf(out, "these %zu", cover->bought);
    fprintf(out, ", %zu of the %zu inks are there or have a stand-in.</p>\n",
            cover->count - cover->unserved, cover->count);
    for (size_t step = 1; step <= cover->bought; step++)
        write_purchase(out, frame, asked, step);
    if (cover->unserved) {
        fprintf(out, "<h2>Not served <span class=\"quiet\">%zu</span></h2>\n", cover->unserved);
        write_served(out, frame, asked, COVER_NOBODY);
    }
}
