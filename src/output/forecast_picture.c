#include "output/forecast_picture.h"

#include "canvas.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* All lengths in pixels. */
#define MARGIN 32
#define INK_WIDTH 150
#define SAMPLE_WIDTH 2
#define BLEND_WIDTH (SAMPLE_WIDTH * FORECAST_SAMPLES)
#define STRIP_HEIGHT 130
#define TITLE_HEIGHT 34
#define NAME_HEIGHT 52
#define STRIP_GAP 26
#define FOOT_HEIGHT 60
#define RIM_PART 0.4 /* of the strip's height, at each rim */
#define RIM_STEPS 26
#define HALVINGS 12
#define LETTERS 15.0
#define SMALL_LETTERS 13.0

static const struct paint paper = {1, 1, 1, 1};
static const struct paint text_paint = {0.13, 0.13, 0.13, 1};

void forecast_join_fill(const struct reflectance_observer *observer, const struct blend_ink *first,
                        const struct blend_ink *second, const struct blend_habit *habit,
                        struct forecast_join *join)
{
    join->settled = habit->basis != BLEND_BY_LAWS;
    join->u95 = blend_forecast_at(observer, first, second, 0.5, habit).u95;
    for (int i = 0; i < FORECAST_SAMPLES; i++) {
        double share = (i + 0.5) / FORECAST_SAMPLES;
        struct blend_forecast forecast = blend_forecast_at(observer, first, second, share, habit);

        for (int law = 0; law < BLEND_LAWS; law++)
            join->by_law[law][i] = join->settled ? forecast.lab : forecast.by_law[law];
        join->samples[i] = forecast.lab;
    }
}

/* A colour the screen shows: one beyond it loses chroma and keeps lightness and hue, so that no
 * step shows where a blend leaves what the screen can do. */
static struct lab within_screen(struct lab lab)
{
    double low = 0, high = 1;

    if (colour_srgb_shows(lab))
        return lab;
    for (int i = 0; i < HALVINGS; i++) {
        double part = (low + high) / 2;

        if (colour_srgb_shows((struct lab){lab.L, part * lab.a, part * lab.b}))
            low = part;
        else
            high = part;
    }
    return (struct lab){lab.L, low * lab.a, low * lab.b};
}

static struct paint paint_of(struct lab lab)
{
    struct lab shown = within_screen(lab);
    struct rgb srgb;

    colour_srgb_from_lab(&shown, 1, &srgb);
    return (struct paint){srgb.channel[0], srgb.channel[1], srgb.channel[2], 1};
}

/* --- one strip ------------------------------------------------------------------------------ */

static struct paint mixed(struct paint a, struct paint b, double part)
{
    return (struct paint){a.red + part * (b.red - a.red), a.green + part * (b.green - a.green),
                          a.blue + part * (b.blue - a.blue), 1};
}

/* One sample of a join from rim to rim: the forecast, softly one law at the upper and the other at
 * the lower rim. */
static void draw_sample(struct canvas *canvas, const struct forecast_join *join, int sample,
                        struct box box)
{
    const struct paint forecast = paint_of(join->samples[sample]);
    const struct paint rims[BLEND_LAWS] = {paint_of(join->by_law[0][sample]),
                                           paint_of(join->by_law[1][sample])};

    canvas_fill_box(canvas, box, forecast);
    for (int i = 0; !join->settled && i < RIM_STEPS; i++) {
        double from_rim = (i + 0.5) / RIM_STEPS, part = (1 - from_rim) * (1 - from_rim);
        double step = RIM_PART * box.height / RIM_STEPS;

        canvas_fill_box(canvas, (struct box){box.x, box.y + i * step, box.width, step},
                        mixed(forecast, rims[0], part));
        canvas_fill_box(canvas,
                        (struct box){box.x, box.y + box.height - (i + 1) * step, box.width, step},
                        mixed(forecast, rims[1], part));
    }
}

static void draw_join(struct canvas *canvas, const struct forecast_join *join, double x, double y)
{
    for (int i = 0; i < FORECAST_SAMPLES; i++)
        draw_sample(canvas, join, i,
                    (struct box){x + SAMPLE_WIDTH * i, y, SAMPLE_WIDTH, STRIP_HEIGHT});
}

static void letter_join(struct canvas *canvas, const struct forecast_join *join, double x, double y)
{
    const struct lettering lettering = {SMALL_LETTERS, false, LETTERING_CENTRE, text_paint};
    char words[64];

    snprintf(words, sizeof words, "%s\xC2\xB1%.1f", join->settled ? "" : "untested, ", join->u95);
    canvas_text(canvas, &lettering, (struct point){x + BLEND_WIDTH / 2.0, y}, BLEND_WIDTH - 8,
                words);
}

static void draw_strip(struct canvas *canvas, const struct forecast_strip *strip, double top)
{
    const struct lettering title = {LETTERS, true, LETTERING_LEFT, text_paint};
    const struct lettering name = {LETTERS, false, LETTERING_CENTRE, text_paint};
    double y = top + TITLE_HEIGHT, below = y + STRIP_HEIGHT + 20;

    canvas_text(canvas, &title, (struct point){MARGIN, top + 22},
                (double)strip->count * (INK_WIDTH + BLEND_WIDTH), strip->title);
    for (size_t i = 0; i < strip->count; i++) {
        double x = MARGIN + (double)i * (INK_WIDTH + BLEND_WIDTH);

        canvas_fill_box(canvas, (struct box){x, y, INK_WIDTH, STRIP_HEIGHT},
                        paint_of(strip->colours[i]));
        canvas_text(canvas, &name, (struct point){x + INK_WIDTH / 2.0, below}, INK_WIDTH + 40,
                    strip->names[i]);
        if (i + 1 < strip->count) {
            draw_join(canvas, &strip->joins[i], x + INK_WIDTH, y);
            letter_join(canvas, &strip->joins[i], x + INK_WIDTH, below + 20);
        }
    }
}

/* --- the picture ---------------------------------------------------------------------------- */

static bool any_unsettled(const struct forecast_strip *strips, size_t count)
{
    for (size_t i = 0; i < count; i++)
        for (size_t k = 0; k + 1 < strips[i].count; k++)
            if (!strips[i].joins[k].settled)
                return true;
    return false;
}

static void draw_foot(struct canvas *canvas, bool unsettled, double y, double width)
{
    const struct lettering lettering = {SMALL_LETTERS, false, LETTERING_LEFT, text_paint};

    canvas_paragraph(canvas, &lettering, (struct box){MARGIN, y, width - 2 * MARGIN, FOOT_HEIGHT},
                     unsettled
                         ? "A forecast, from the inks' colours. \xC2\xB1: delta E 2000 half way "
                           "between two inks, 95 times in 100. Where a blend changes towards its "
                           "rims, it may turn out as at either: a measured test blend settles it."
                         : "A forecast, from the inks' colours and measured test blends. \xC2\xB1: "
                           "delta E 2000 half way between two inks, 95 times in 100.");
}

enum status forecast_picture_write(const char *path, const struct forecast_strip *strips,
                                   size_t count, struct error *error)
{
    const double pitch = TITLE_HEIGHT + STRIP_HEIGHT + NAME_HEIGHT + STRIP_GAP;
    size_t widest = 2;
    struct canvas *canvas = NULL;
    double width, height;
    enum status status;

    for (size_t i = 0; i < count; i++)
        widest = strips[i].count > widest ? strips[i].count : widest;
    width = 2.0 * MARGIN + (double)widest * (INK_WIDTH + BLEND_WIDTH) - BLEND_WIDTH;
    height = 2.0 * MARGIN + (double)count * pitch + FOOT_HEIGHT;
    status = canvas_create((int)width, (int)height, paper, &canvas, error);
    if (status)
        return status;
    for (size_t i = 0; i < count; i++)
        draw_strip(canvas, &strips[i], MARGIN + (double)i * pitch);
    draw_foot(canvas, any_unsettled(strips, count), MARGIN + (double)count * pitch, width);
    status = canvas_write_png(canvas, path, error);
    canvas_release(canvas);
    return status;
}
