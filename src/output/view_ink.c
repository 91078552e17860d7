#include "html.h"

#include "analysis/description.h"
#include "analysis/difference.h"
#include "analysis/near.h"

/* Up to this doubt a reading is as good as seeing it; beyond the second it is a guess. Common
 * practice, no source: what people just see and see at once, in delta E 2000. */
#define DOUBT_UNSEEN 1.0
#define DOUBT_SEEN 3.0

static const char *doubt_in_words(double u95)
{
    if (u95 <= DOUBT_UNSEEN)
        return "known so well that no eye sees the rest";
    if (u95 <= DOUBT_SEEN)
        return "known well: the rest is seen only side by side";
    return "known roughly: measure it again in better light";
}

static const char *basis_in_words(enum colour_basis basis)
{
    switch (basis) {
    case COLOUR_DRY_END:
        return "read while it dried; this is what it dries to";
    case COLOUR_AGE_UNKNOWN:
        return "taken as dry, though nobody told when it was inked";
    default:
        return "measured dry";
    }
}

static void write_facts(FILE *out, const struct overview_ink *entry)
{
    const struct range_ink *ink = entry->ink;
    char words[DESCRIPTION_SIZE];

    description_words(ink->lab, words);
    fprintf(out, "<p>%s; %s; %s.</p>\n<p class=\"quiet\">L* %.1f, a* %.1f, b* %.1f, &#177; %.1f%s",
            words, basis_in_words(ink->basis), doubt_in_words(ink->u95), ink->lab.L, ink->lab.a,
            ink->lab.b, ink->u95,
            colour_srgb_shows(ink->lab) ? "" : "; more vivid than most screens show");
    if (ink->paper[0]) {
        fputs("; on ", out);
        html_text(out, ink->paper);
    }
    fputs("</p>\n", out);
}

static void write_standin(FILE *out, const struct view_frame *frame,
                          const struct overview *overview, const struct range_ink *asked,
                          const struct overview_standin *standin)
{
    const struct range_ink *ink = overview->inks[standin->place].ink;
    struct difference difference = difference_between(asked->lab, ink->lab);
    char words[DIFFERENCE_WORDS_SIZE];

    difference_words(&difference, DIFFERENCE_NOTICEABLE, words);
    fputs("<li><a href=\"", out);
    html_ink_address(out, frame, ink, standin->place);
    fputs("\">", out);
    html_swatch(out, ink->lab);
    fputs("<span>", out);
    html_text(out, ink->name);
    fprintf(out, "<br><span class=\"quiet\">%s%s%s (%.1f)</span></span></a></li>\n",
            near_likeness_word(near_likeness(standin->delta_e.measured, NEAR_CLOSE)),
            words[0] ? ": " : "", words, standin->delta_e.measured);
}

void view_ink(FILE *out, const struct view_frame *frame, const struct overview *overview,
              size_t place)
{
    const struct overview_ink *entry = &overview->inks[place];

    fprintf(out, "<article id=\"ink-%zu\">\n<div>", place + 1);
    html_swatch(out, entry->ink->lab);
    fputs("</div>\n<div>\n", out);
    if (!frame->served) { /* there the view has its name */
        fputs("<h3>", out);
        html_text(out, entry->ink->name);
        fputs("</h3>\n", out);
    }
    write_facts(out, entry);
    if (entry->standin_count)
        fputs("<p class=\"quiet\">Nearest to it:</p>\n<ul class=\"near\">\n", out);
    for (size_t i = 0; i < entry->standin_count; i++)
        write_standin(out, frame, overview, entry->ink, &entry->standins[i]);
    fprintf(out, "%s</div>\n</article>\n", entry->standin_count ? "</ul>\n" : "");
}
