#include "output/report.h"

#include "analysis/description.h"
#include "analysis/difference.h"
#include "analysis/near.h"
#include "files/whole_file.h"
#include "html.h"

#include <string.h>

/* Up to this doubt a reading is as good as seeing it; beyond the second it is a guess. Common
 * practice, no source: what people just see and see at once, in delta E 2000. */
#define DOUBT_UNSEEN 1.0
#define DOUBT_SEEN 3.0

static void write_swatch(FILE *out, struct lab lab)
{
    fputs("<span class=\"swatch\" style=\"", out);
    html_colour(out, lab);
    fputs("\"></span>", out);
}

/* --- the wall --------------------------------------------------------------------------------- */

static void write_tile(FILE *out, const struct overview *overview, size_t place)
{
    const struct range_ink *ink = overview->inks[place].ink;

    fprintf(out, "<li><a href=\"#ink-%zu\">", place + 1);
    write_swatch(out, ink->lab);
    html_text(out, ink->name);
    fputs("</a></li>\n", out);
}

/* "Reds, 12" over the tiles of one family. */
static void write_family(FILE *out, const struct overview *overview, size_t from, size_t to)
{
    const char *name = overview->ordered.families.names[overview->inks[from].family];

    fputs("<h2>", out);
    html_text(out, name);
    fprintf(out, " <span class=\"quiet\">%zu</span></h2>\n<ul class=\"wall\">\n", to - from);
    for (size_t i = from; i < to; i++)
        write_tile(out, overview, i);
    fputs("</ul>\n", out);
}

static void write_wall(FILE *out, const struct overview *overview)
{
    for (size_t from = 0, to; from < overview->count; from = to) {
        for (to = from + 1; to < overview->count; to++)
            if (overview->inks[to].family != overview->inks[from].family)
                break;
        write_family(out, overview, from, to);
    }
    if (!overview->count)
        fputs("<p>No ink has a colour yet. Measure a photo of a chart of swatches first.</p>\n",
              out);
}

/* --- one ink ---------------------------------------------------------------------------------- */

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

static void write_standin(FILE *out, const struct overview *overview, const struct range_ink *asked,
                          const struct overview_standin *standin)
{
    const struct range_ink *ink = overview->inks[standin->place].ink;
    struct difference difference = difference_between(asked->lab, ink->lab);
    char words[DIFFERENCE_WORDS_SIZE];

    difference_words(&difference, DIFFERENCE_NOTICEABLE, words);
    fprintf(out, "<li><a href=\"#ink-%zu\">", standin->place + 1);
    write_swatch(out, ink->lab);
    fputs("<span>", out);
    html_text(out, ink->name);
    fprintf(out, "<br><span class=\"quiet\">%s%s%s (%.1f)</span></span></a></li>\n",
            near_likeness_word(near_likeness(standin->delta_e.measured, NEAR_CLOSE)),
            words[0] ? ": " : "", words, standin->delta_e.measured);
}

static void write_ink(FILE *out, const struct overview *overview, size_t place)
{
    const struct overview_ink *entry = &overview->inks[place];

    fprintf(out, "<article id=\"ink-%zu\">\n<div>", place + 1);
    write_swatch(out, entry->ink->lab);
    fputs("</div>\n<div>\n<h3>", out);
    html_text(out, entry->ink->name);
    fputs("</h3>\n", out);
    write_facts(out, entry);
    if (entry->standin_count)
        fputs("<p class=\"quiet\">Nearest to it:</p>\n<ul>\n", out);
    for (size_t i = 0; i < entry->standin_count; i++)
        write_standin(out, overview, entry->ink, &entry->standins[i]);
    fprintf(out, "%s</div>\n</article>\n", entry->standin_count ? "</ul>\n" : "");
}

/* --- all of it -------------------------------------------------------------------------------- */

static void write_report(FILE *out, const struct overview *overview,
                         const struct report_about *about)
{
    char remark[200];

    snprintf(
        remark, sizeof remark,
        "%.60s. %zu inks with a colour, %zu without. Screens and printers show colours nearly; "
        "the numbers are what was measured.",
        about->date, overview->count, overview->ordered.measured.without);
    html_begin(out, about->title, remark);
    write_wall(out, overview);
    if (overview->count)
        fputs("<h2>Ink by ink</h2>\n", out);
    for (size_t i = 0; i < overview->count; i++)
        write_ink(out, overview, i);
    html_end(out);
}

enum status report_write(const char *path, const struct overview *overview,
                         const struct report_about *about, struct error *error)
{
    struct whole_file file;
    enum status status = whole_file_begin(path, &whole_file_html, &file, error);

    if (status)
        return status;
    write_report(file.stream, overview, about);
    if (ferror(file.stream))
        status = error_set(error, STATUS_FILE, "%s: can't be written: check the disk's free space",
                           path);
    return whole_file_end(&file, status, error);
}
