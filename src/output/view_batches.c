#include "output/view_answers.h"

#include "html.h"

#include <math.h>
#include <string.h>

static void write_question(FILE *out, const struct view_batches *asked)
{
    static const char *const labels[] = {"The old batch", "The new one"};
    static const char *const names[] = {"old", "new"};

    fputs("<form class=\"row\">", out);
    for (int i = 0; i < 2; i++) {
        fprintf(out, "<label class=\"field\"><span>%s</span><input name=\"%s\" required value=\"",
                labels[i], names[i]);
        html_text(out, asked->name[i]);
        fputs("\"></label>", out);
    }
    fputs("<button>Compare</button></form>\n<p class=\"quiet\">", out);
    if (asked->known[0]) {
        fputs("Batches there are: ", out);
        html_text(out, asked->known);
    } else {
        fputs("No batch has been told of any photo yet.", out);
    }
    fputs("</p>\n", out);
}

static const char *sentence_of(const struct batch_verdict *verdict)
{
    switch (verdict->verdict) {
    case VERDICT_SAME:
        return verdict->seen ? "the same, as far as it matters: a small difference is real"
                             : "the same";
    case VERDICT_DIFFERENT:
        return "different";
    case VERDICT_CANNOT_TELL:
        return "can't tell yet";
    default:
        return "only in one of them";
    }
}

/* Both colours meet edge to edge, where differences are seen best; the script lets the edge be
 * moved. */
static void write_pair(FILE *out, const struct compare_ink *ink,
                       const struct batch_verdict *verdict)
{
    fputs("<div class=\"pair\" data-pair=\"", out);
    html_text(out, ink->name);
    fputs("\">", out);
    html_swatch(out, verdict->difference.from);
    html_swatch(out, verdict->difference.to);
    fputs("</div><p class=\"sides quiet\"><span>old</span><span>new</span></p>", out);
}

static void write_difference(FILE *out, const struct batch_verdict *verdict)
{
    char words[DIFFERENCE_WORDS_SIZE];

    difference_words(&verdict->difference, DIFFERENCE_NOTICEABLE, words);
    fprintf(out, "<p class=\"quiet\">%s; %.1f, between %.1f and %.1f (delta E 2000)</p>\n", words,
            verdict->difference.delta_e, verdict->low, verdict->high);
    if (verdict->verdict == VERDICT_CANNOT_TELL && verdict->swatches_wanted)
        fprintf(out, "<p class=\"quiet\">%d swatches of each, in one photo, would settle it</p>\n",
                verdict->swatches_wanted);
}

static void write_ink(FILE *out, const struct compare_ink *ink, const struct batch_verdict *verdict)
{
    fputs("<article class=\"compared\"><div>", out);
    if (verdict->verdict != VERDICT_MISSING)
        write_pair(out, ink, verdict);
    fputs("</div><div><h3>", out);
    html_text(out, ink->name);
    fprintf(out, ": %s</h3>\n", sentence_of(verdict));
    if (verdict->verdict != VERDICT_MISSING)
        write_difference(out, verdict);
    if (compare_sides_papers_differ(ink))
        fputs("<p class=\"quiet\">They were made on different papers.</p>\n", out);
    fputs("</div></article>\n", out);
}

void view_batches(FILE *out, const struct view_batches *asked)
{
    size_t shown = 0;

    write_question(out, asked);
    for (size_t i = 0; asked->batches && i < asked->sides->count; i++)
        if (asked->sides->inks[i].asked) {
            write_ink(out, &asked->sides->inks[i], &asked->batches->verdicts[i]);
            shown++;
        }
    if (asked->batches && !shown)
        fputs("<p>No ink is in either of them.</p>\n", out);
}
