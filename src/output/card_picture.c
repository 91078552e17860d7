#include "canvas.h"
#include "output/card_report.h"

#include <math.h>
#include <stdio.h>

/*
 * How well a card fits, as a ranking: a line for each patch, the one that is foretold worst first,
 * with its colour as measured and as the table says meeting at an edge, and a bar as long as the
 * error, so that the eye goes to what is wrong.
 */

#define LETTER_PX 17.0
#define ROW_PX 34.0
#define FIELD_PX 26.0 /* height of the colours */
#define PAIR_PX 150.0 /* width of the two colours together */
#define NAME_PX 190.0
#define FIGURE_PX 120.0
#define GAP_PX 18.0
#define BARS_PX 420.0
#define MARGIN_PX 36.0
#define LINE_PX (LETTER_PX * CANVAS_LINE_SPACING)
#define SCALE_MAX                                                                                  \
    6.0 /* delta E 2000 that a bar shows; longer ones are cut, the figure stands beside */
#define BAR_X (MARGIN_PX + NAME_PX + PAIR_PX + 2 * GAP_PX)
#define WIDTH_PX (BAR_X + BARS_PX + GAP_PX + FIGURE_PX + MARGIN_PX)
#define REPORT_PX 240.0

static const struct paint ground = {0.96, 0.96, 0.955, 1}, ink = {0.12, 0.12, 0.12, 1},
                          faint = {0.42, 0.42, 0.42, 1}, rule = {0.85, 0.85, 0.84, 1};

static struct paint paint_of(struct lab lab)
{
    struct rgb srgb;

    colour_srgb_from_lab(&lab, 1, &srgb);
    return (struct paint){srgb.channel[0], srgb.channel[1], srgb.channel[2], 1};
}

static double error_of(const struct correction_quality *quality, int patch)
{
    return quality->left_out[patch] > 0 ? quality->left_out[patch] : -1;
}

/* The patches, the one that is foretold worst first, those not measured last. */
static void rank(const struct correction_quality *quality, int order[CARD_PATCHES_MAX])
{
    for (int i = 0; i < quality->patches; i++) {
        int at = i;

        for (; at > 0 && error_of(quality, order[at - 1]) < error_of(quality, i); at--)
            order[at] = order[at - 1];
        order[at] = i;
    }
}

static void draw_bar(struct canvas *canvas, const struct correction_quality *quality, int patch,
                     double y)
{
    double error = error_of(quality, patch);
    double length = BARS_PX * fmin(error, SCALE_MAX) / SCALE_MAX;
    char figure[64];

    snprintf(figure, sizeof figure, "%.1f%s", error, quality->used[patch] ? "" : ", not used");
    canvas_fill_box(canvas, (struct box){BAR_X, y + FIELD_PX / 3, length, FIELD_PX / 3}, ink);
    canvas_text(canvas, &(struct lettering){LETTER_PX, false, LETTERING_LEFT, ink},
                (struct point){BAR_X + BARS_PX + GAP_PX, y + LETTER_PX}, FIGURE_PX, figure);
}

static void draw_patch(struct canvas *canvas, const struct card *card,
                       const struct correction_quality *quality, int patch, double y)
{
    const struct lettering name = {LETTER_PX, false, LETTERING_LEFT, ink},
                           absent = {LETTER_PX, false, LETTERING_LEFT, faint};
    double x = MARGIN_PX + NAME_PX + GAP_PX;

    canvas_text(canvas, &name, (struct point){MARGIN_PX, y + LETTER_PX}, NAME_PX,
                card->patch_name[patch]);
    canvas_fill_box(canvas, (struct box){x + PAIR_PX / 2, y, PAIR_PX / 2, FIELD_PX},
                    paint_of(card->patch[patch]));
    if (error_of(quality, patch) < 0) {
        canvas_text(canvas, &absent, (struct point){BAR_X, y + LETTER_PX}, BARS_PX, "not measured");
        return;
    }
    canvas_fill_box(canvas, (struct box){x, y, PAIR_PX / 2, FIELD_PX},
                    paint_of(quality->measured[patch]));
    draw_bar(canvas, quality, patch, y);
}

/* What the columns are, and the scale of the bars: a line at each whole delta E. */
static void draw_heading(struct canvas *canvas, int patches, double y)
{
    const struct lettering small = {LETTER_PX, false, LETTERING_LEFT, faint};
    const double x = MARGIN_PX + NAME_PX + GAP_PX;

    canvas_text(canvas, &small, (struct point){x, y + LETTER_PX}, PAIR_PX / 2, "photo");
    canvas_text(canvas, &small, (struct point){x + PAIR_PX / 2, y + LETTER_PX}, PAIR_PX / 2,
                "table");
    for (int i = 0; i <= (int)SCALE_MAX; i++) {
        double at = BAR_X + i * BARS_PX / SCALE_MAX;
        char mark[8];

        snprintf(mark, sizeof mark, "%d", i);
        canvas_text(canvas, &small, (struct point){at, y + LETTER_PX}, GAP_PX, mark);
        canvas_fill_box(canvas, (struct box){at, y + ROW_PX, 1, patches * ROW_PX}, rule);
    }
}

/* Returns: where the next line may stand. */
static double draw_report(struct canvas *canvas, const struct card_report *report)
{
    const struct lettering plain = {LETTER_PX, false, LETTERING_LEFT, ink},
                           small = {LETTER_PX, false, LETTERING_LEFT, faint};
    const double width = WIDTH_PX - 2 * MARGIN_PX;
    double y = MARGIN_PX;

    for (int i = 0; i < report->count; i++)
        y = LINE_PX / 2 + canvas_paragraph(canvas, &plain,
                                           (struct box){MARGIN_PX, y, width, REPORT_PX},
                                           report->line[i]);
    return canvas_paragraph(canvas, &small, (struct box){MARGIN_PX, y, width, REPORT_PX},
                            "Each patch foretold from all the others, the worst first. The bar is "
                            "how far that is off, in delta E 2000: below 1 is hardly seen.");
}

enum status card_report_draw(const char *path, const struct card *card,
                             const struct measurement *measurement,
                             const struct card_report *report, struct error *error)
{
    const int patches = card->shape.patches;
    const double height = MARGIN_PX + REPORT_PX + (patches + 1) * ROW_PX + MARGIN_PX;
    struct canvas *canvas = NULL;
    enum status status = canvas_create((int)WIDTH_PX, (int)height, ground, &canvas, error);
    double y = status ? 0 : draw_report(canvas, report) + LINE_PX;
    int order[CARD_PATCHES_MAX];

    rank(&measurement->quality, order);
    if (!status)
        draw_heading(canvas, patches, y);
    for (int i = 0; !status && i < patches; i++)
        draw_patch(canvas, card, &measurement->quality, order[i], y + (i + 1) * ROW_PX);
    if (!status)
        status = canvas_write_png(canvas, path, error);
    canvas_release(canvas);
    return status;
}
