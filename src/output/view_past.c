#include "output/view_answers.h"

#include "html.h"
#include "output/drying_plot.h"
#include "output/drying_words.h"
#include "values/calendar.h"

#include <math.h>
#include <string.h>

/* What was seen of one ink: how it dried, its batches, the combinations it is in. */

/* --- how it dried ----------------------------------------------------------------------------- */

#define PLOT_WIDTH 320.0
#define PLOT_HEIGHT 110.0
#define PLOT_KNEE_S 600.0 /* times pass from a linear scale to a logarithmic one about here */
#define CURVE_STEPS 60

/* A plot of how far a swatch is from its dry colour, over time. */
struct plot {
    const struct drying_swatch *swatch;
    const struct observation *readings;
    struct lab dry;
    double last_s;
    double farthest; /* delta E 2000 */
};

static struct point place_of(const struct plot *plot, double t_s, struct lab lab)
{
    double along = log1p(fmax(t_s, 0) / PLOT_KNEE_S) / log1p(plot->last_s / PLOT_KNEE_S);

    return (struct point){8 + along * (PLOT_WIDTH - 16),
                          8 + (1 - colour_delta_e_2000(lab, plot->dry) / plot->farthest) *
                                  (PLOT_HEIGHT - 16)};
}

static double time_of(const struct plot *plot, size_t i)
{
    return (double)(plot->readings[i].taken_s - plot->swatch->drying.origin_s);
}

/* Wet towards dry as the fit has it. */
static struct lab on_curve(const struct drying *drying, double t_s)
{
    double wet = exp(-t_s / drying->tau_s.value);

    return (struct lab){drying->dry.L + wet * (drying->wet.L - drying->dry.L),
                        drying->dry.a + wet * (drying->wet.a - drying->dry.a),
                        drying->dry.b + wet * (drying->wet.b - drying->dry.b)};
}

static struct plot plot_of(const struct drying_set *set, const struct drying_swatch *swatch)
{
    struct plot plot = {
        .swatch = swatch, .readings = &set->steadied[swatch->first], .last_s = 1, .farthest = 1};

    plot.dry = swatch->drying.fitted ? swatch->drying.dry : plot.readings[swatch->count - 1].lab;
    for (size_t i = 0; i < swatch->count; i++) {
        plot.last_s = fmax(plot.last_s, time_of(&plot, i));
        plot.farthest =
            fmax(plot.farthest, colour_delta_e_2000(plot.readings[i].lab, plot.dry) * 1.1);
    }
    return plot;
}

static void write_curve(FILE *out, const struct plot *plot)
{
    const struct drying *drying = &plot->swatch->drying;

    if (!drying->fitted || drying->tau_s.value <= 0)
        return;
    fputs("<polyline points=\"", out);
    for (int i = 0; i <= CURVE_STEPS; i++) {
        double t_s =
            PLOT_KNEE_S * expm1(log1p(plot->last_s / PLOT_KNEE_S) * (double)i / CURVE_STEPS);
        struct point at = place_of(plot, t_s, on_curve(drying, t_s));

        fprintf(out, "%s%.1f,%.1f", i ? " " : "", at.x, fmax(at.y, 0));
    }
    fputs("\"/>", out);
}

static void write_plot(FILE *out, const struct plot *plot)
{
    char span[DURATION_TEXT_SIZE];

    drying_format_duration(plot->last_s, span);
    fprintf(out,
            "<figure class=\"dried\"><svg viewBox=\"0 0 %g %g\" role=\"img\" aria-label=\"Its "
            "colour at %zu readings, nearing the dry one\">"
            "<path d=\"M8 %gH%g\"/>",
            PLOT_WIDTH, PLOT_HEIGHT, plot->swatch->count, PLOT_HEIGHT - 8, PLOT_WIDTH - 8);
    write_curve(out, plot);
    for (size_t i = 0; i < plot->swatch->count; i++) {
        struct point at = place_of(plot, time_of(plot, i), plot->readings[i].lab);
        struct lab lab = plot->readings[i].lab;
        struct rgb srgb;

        colour_srgb_from_lab(&lab, 1, &srgb);
        fprintf(out, "<circle cx=\"%.1f\" cy=\"%.1f\" r=\"6\" fill=\"", at.x, at.y);
        html_hexadecimal(out, &srgb);
        fputs("\"/>", out);
    }
    fprintf(out,
            "</svg><figcaption class=\"quiet\">From the %s to %s later; the line below is the dry "
            "colour, the highest dot %.1f from it (delta E 2000)</figcaption></figure>\n",
            plot->swatch->drying.inked_known ? "inking" : "first reading", span,
            plot->farthest / 1.1);
}

static void write_swatch(FILE *out, const struct drying_set *set,
                         const struct drying_swatch *swatch)
{
    char place[DRYING_PLACE_SIZE], says[DRYING_SENTENCE_SIZE];

    drying_place(swatch, place);
    drying_sentence(swatch, says);
    fputs("<p>", out);
    html_text(out, place);
    fputs(": ", out);
    html_text(out, says);
    fputs("</p>\n", out);
    if (swatch->count > 1) {
        struct plot plot = plot_of(set, swatch);

        write_plot(out, &plot);
    }
}

/* Swatches read once tell nothing of drying: one sentence is for all of them. */
static void write_drying(FILE *out, const struct drying_set *set)
{
    size_t once = 0;

    fputs("<section><h2>How it dried</h2>\n", out);
    for (size_t i = 0; i < set->count; i++)
        if (set->swatches[i].count > 1)
            write_swatch(out, set, &set->swatches[i]);
        else
            once++;
    if (once)
        fprintf(out,
                "<p>%zu swatch%s read at one time only: photographed again while it dries, and "
                "once it is dry, a swatch tells how long that takes.</p>\n",
                once, once == 1 ? " was" : "es were");
    fputs("</section>\n", out);
}

/* --- its batches ------------------------------------------------------------------------------ */

static void write_batch(FILE *out, const struct ink_past_batch *batch)
{
    char when[CALENDAR_TEXT_SIZE];

    calendar_format(&batch->last->taken, when);
    fputs("<li><span class=\"plain\">", out);
    html_swatch(out, batch->last->reading.lab);
    fputs("<span>", out);
    html_text(out, batch->last->batch);
    fprintf(out, "<br><span class=\"quiet\">%zu reading%s%s%.10s</span></span></span></li>\n",
            batch->readings, batch->readings == 1 ? "" : "s", when[0] ? ", the last " : "", when);
}

static void write_batches(FILE *out, const struct view_frame *frame, const struct ink_past *past)
{
    fputs("<section><h2>Its batches</h2>\n", out);
    if (!past->batch_count)
        fputs("<p>No batch has been told of its readings.</p>\n", out);
    else
        fputs("<ul class=\"near\">\n", out);
    for (size_t i = 0; i < past->batch_count; i++)
        write_batch(out, &past->batches[i]);
    if (past->batch_count)
        fputs("</ul>\n", out);
    if (frame->served && past->batch_count > 1) {
        fputs("<p><a class=\"target\" href=\"/batches?old=", out);
        html_query(out, past->batches[past->batch_count - 2].last->batch);
        fputs("&amp;new=", out);
        html_query(out, past->batches[past->batch_count - 1].last->batch);
        fputs("\">Compare the last two</a></p>\n", out);
    }
    fputs("</section>\n", out);
}

/* --- the combinations it is in ---------------------------------------------------------------- */

static void write_member(FILE *out, const struct view_frame *frame, const struct overview *overview,
                         const char *name)
{
    size_t place;

    fputs("<li>", out);
    if (overview_find(overview, name, &place)) {
        fputs("<a href=\"", out);
        html_ink_address(out, frame, overview->inks[place].ink, place);
        fputs("\">", out);
        html_swatch(out, overview->inks[place].ink->lab);
        html_text(out, name);
        fputs("</a>", out);
    } else {
        html_text(out, name);
    }
    fputs("</li>\n", out);
}

static void write_combinations(FILE *out, const struct view_frame *frame,
                               const struct overview *overview, const struct view_past *asked)
{
    const struct inventory_combinations *log = &asked->past->combinations;
    size_t count = 0;

    fputs("<section><h2>Combinations it is in</h2>\n", out);
    for (size_t i = 0; i < log->count; i++) {
        if (!ink_past_has(&log->items[i], asked->name))
            continue;
        count++;
        fputs("<ul class=\"run\">\n", out);
        for (size_t k = 0; k < log->items[i].count; k++)
            write_member(out, frame, overview, log->items[i].inks[k]);
        fputs("</ul>\n", out);
    }
    if (!count)
        fputs("<p>None has been logged.</p>\n", out);
    if (frame->served) {
        fputs("<p><a class=\"target\" href=\"/blends?ink=", out);
        html_query(out, asked->name);
        fputs("\">What to blend it with next</a></p>\n", out);
    }
    fputs("</section>\n", out);
}

void view_past(FILE *out, const struct view_frame *frame, const struct overview *overview,
               const struct view_past *asked)
{
    write_drying(out, &asked->past->dried);
    write_batches(out, frame, asked->past);
    write_combinations(out, frame, overview, asked);
}
