#include "analysis/description.h"
#include "base/utf8.h"
#include "html.h"
#include "output/view_answers.h"
#include "values/calendar.h"

static const char *const shares[] = {
    [COMBINE_EDGE] = "an edge", [COMBINE_QUARTER] = "a quarter", [COMBINE_HALF] = "a half"};

/* --- a run of inks ---------------------------------------------------------------------------- */

static void write_ink(FILE *out, const struct view_frame *frame, const struct range_ink *ink,
                      const char *share)
{
    fputs("<li><a href=\"", out);
    html_ink_address(out, frame, ink, 0);
    fputs("\">", out);
    html_swatch(out, ink->lab);
    html_text(out, ink->name);
    fputs("</a>", out);
    if (share)
        fprintf(out, "<br><span class=\"quiet\">%s</span>", share);
    fputs("</li>\n", out);
}

static void write_half_way(FILE *out, const struct blend_forecast *forecast)
{
    char described[DESCRIPTION_SIZE];

    description_words(forecast->lab, described);
    fputs("<li class=\"between\">", out);
    html_swatch(out, forecast->lab);
    fprintf(out, "<span class=\"unseen\">half way: %s</span></li>\n", described);
}

/* --- what is asked ---------------------------------------------------------------------------- */

static void write_names(FILE *out, const struct combine_job *job)
{
    fputs("<datalist id=\"inks\">", out);
    for (size_t i = 0; i < job->task.count; i++) {
        fputs("<option value=\"", out);
        html_text(out, job->task.inks[i].name);
        fputs("\">", out);
    }
    fputs("</datalist>\n", out);
}

static void write_choice(FILE *out, const char *value, const char *words, bool chosen)
{
    fprintf(out, "<option value=\"%s\"%s>%s</option>", value, chosen ? " selected" : "", words);
}

static void write_question(FILE *out, const struct combine_wishes *wishes)
{
    fputs("<form class=\"row\"><label class=\"field\"><span>Around this ink (or any)</span><input "
          "name=\"ink\" list=\"inks\" autocomplete=\"off\" value=\"",
          out);
    html_text(out, wishes->ink ? wishes->ink : "");
    fputs("\"></label><label class=\"field\"><span>Colours</span><select name=\"colours\">", out);
    write_choice(out, "3", "3", wishes->colours == 3);
    write_choice(out, "4", "4", wishes->colours == 4);
    fputs("</select></label><label class=\"field\"><span>Mood</span><select name=\"mood\">", out);
    write_choice(out, "tonal", "tonal", wishes->mood == COMBINE_TONAL);
    write_choice(out, "contrast", "with a contrast", wishes->mood == COMBINE_CONTRAST);
    fputs("</select></label><button>Propose</button></form>\n", out);
}

/* --- what is proposed ------------------------------------------------------------------------- */

/* A form that logs a run of inks as made. */
static void write_log_it(FILE *out, const struct view_frame *frame, const struct combine_job *job,
                         const size_t *inks, size_t count, const char *mood)
{
    fputs("<form method=\"post\" action=\"/blends\">", out);
    html_form_token(out, frame);
    if (mood)
        fprintf(out, "<input type=\"hidden\" name=\"mood\" value=\"%s\">", mood);
    for (size_t i = 0; i < count; i++) {
        fprintf(out, "<input type=\"hidden\" name=\"ink%zu\" value=\"", i + 1);
        html_text(out, job->task.inks[inks[i]].name);
        fputs("\">", out);
    }
    fputs("<button name=\"do\" value=\"add\">I made this one</button></form>\n", out);
}

static void write_proposal(FILE *out, const struct view_frame *frame,
                           const struct view_blends *asked, const struct combine_proposal *proposal)
{
    fputs("<div class=\"blend\"><ul class=\"run\">\n", out);
    for (size_t i = 0; i < proposal->count; i++) {
        write_ink(out, frame, &asked->job->task.inks[proposal->inks[i]],
                  shares[proposal->shares[i]]);
        if (i + 1 < proposal->count)
            write_half_way(out, &proposal->joins[i].forecast);
    }
    fputs("</ul>\n", out);
    if (frame->served)
        write_log_it(out, frame, asked->job, proposal->inks, proposal->count,
                     asked->wishes->mood == COMBINE_TONAL ? "tonal" : "contrast");
    fputs("</div>\n", out);
}

static void write_proposals(FILE *out, const struct view_frame *frame,
                            const struct view_blends *asked)
{
    const struct combine_answer *answer = &asked->job->answer;

    if (!answer->count) {
        fputs("<p class=\"verdict\">No combination stands the test; fewer colours, another mood or "
              "more inks give more.</p>\n",
              out);
        return;
    }
    fprintf(out,
            "<p>Lay them in this order, the darkest at one edge and last of all: it covers what it "
            "meets. Between neighbours stands what they may give half way, %s.</p>\n",
            "as far as can be foretold");
    for (size_t i = 0; i < answer->count; i++)
        write_proposal(out, frame, asked, &answer->proposals[i]);
    if (answer->like_logged)
        fprintf(out, "<p class=\"quiet\">%zu left out that are much like one you made.</p>\n",
                answer->like_logged);
}

/* --- one's own choice ------------------------------------------------------------------------- */

static void write_own(FILE *out, const struct view_frame *frame, const struct view_blends *asked)
{
    fputs("<h2>Your own</h2>\n<form class=\"row\">", out);
    for (size_t i = 0; i < COMBINE_COLOURS_MOST; i++) {
        fprintf(out,
                "<label class=\"field\"><span>%s</span><input name=\"own%zu\" list=\"inks\" "
                "autocomplete=\"off\" value=\"",
                i ? "then" : "first", i + 1);
        if (i < asked->own_count)
            html_text(out, asked->job->task.inks[asked->own[i]].name);
        fputs("\"></label>", out);
    }
    fputs("<button>See how they blend</button></form>\n", out);
    if (asked->own_count < COMBINATION_LEAST)
        return;
    fputs("<div class=\"blend\"><ul class=\"run\">\n", out);
    for (size_t i = 0; i < asked->own_count; i++) {
        write_ink(out, frame, &asked->job->task.inks[asked->own[i]], NULL);
        if (i + 1 < asked->own_count)
            write_half_way(out, &asked->own_half_way[i]);
    }
    fputs("</ul>\n", out);
    write_log_it(out, frame, asked->job, asked->own, asked->own_count, NULL);
    fputs("</div>\n", out);
}

/* --- what was made ---------------------------------------------------------------------------- */

static const struct range_ink *ink_named(const struct combine_job *job, const char *name)
{
    for (size_t i = 0; i < job->task.count; i++)
        if (utf8_same(job->task.inks[i].name, name))
            return &job->task.inks[i];
    return NULL;
}

static void write_made(FILE *out, const struct view_frame *frame, const struct combine_job *job,
                       const struct inventory_combination *made)
{
    char when[CALENDAR_TEXT_SIZE];

    calendar_format(&made->made, when);
    fprintf(out, "<li class=\"blend\"><p>%.10s%s%s%s", when, made->mood ? ", " : "",
            made->mood ? made->mood : "", made->note ? ": " : "");
    html_text(out, made->note ? made->note : "");
    fputs("</p><ul class=\"run\">\n", out);
    for (size_t k = 0; k < made->count; k++) {
        const struct range_ink *ink = ink_named(job, made->inks[k]);

        if (ink) {
            write_ink(out, frame, ink, NULL);
            continue;
        }
        fputs("<li>", out);
        html_text(out, made->inks[k]);
        fputs("</li>", out);
    }
    fputs("</ul>\n<form method=\"post\" action=\"/blends\">", out);
    html_form_token(out, frame);
    fprintf(out,
            "<input type=\"hidden\" name=\"number\" value=\"%lld\"><button name=\"do\" "
            "value=\"forget\">Take it out of the list</button></form></li>\n",
            made->id);
}

static void write_log(FILE *out, const struct view_frame *frame, const struct combine_job *job)
{
    const struct inventory_combinations *made = &job->log.combinations;

    fprintf(out, "<h2>What you made <span class=\"quiet\">%zu</span></h2>\n", made->count);
    if (!made->count) {
        fputs("<p>Nothing yet. What is listed here is not proposed again.</p>\n", out);
        return;
    }
    fputs("<ul class=\"changes\">\n", out);
    for (size_t i = made->count; i-- > 0;)
        write_made(out, frame, job, &made->items[i]);
    fputs("</ul>\n", out);
}

void view_blends(FILE *out, const struct view_frame *frame, const struct view_blends *asked)
{
    if (!asked->job->task.count) {
        fputs("<p>No ink has a colour yet.</p>\n", out);
        return;
    }
    write_names(out, asked->job);
    write_question(out, asked->wishes);
    write_proposals(out, frame, asked);
    write_own(out, frame, asked);
    write_log(out, frame, asked->job);
}
