#include "canvas.h"
#include "output/card_report.h"

#include <stdio.h>

/* The card's patches as a picture. */

#define TILE_PX 170.0
#define GAP_PX 14.0
#define CAPTION_PX 46.0
#define MARGIN_PX 32.0
#define LETTER_PX 16.0
#define LINE_PX (LETTER_PX * CANVAS_LINE_SPACING)
#define INNER 0.22 /* of the tile around the measured colour */
#define WIDTH_PX (2 * MARGIN_PX + CARD_COLUMNS * TILE_PX + (CARD_COLUMNS - 1) * GAP_PX)
#define TILES_PX (CARD_ROWS * (TILE_PX + CAPTION_PX + GAP_PX))
#define HEIGHT_PX (MARGIN_PX + TILES_PX + 260)

static const struct paint ground = {0.96, 0.96, 0.955, 1}, ink = {0.12, 0.12, 0.12, 1},
                          faint = {0.42, 0.42, 0.42, 1};

static struct paint paint_of(struct lab lab)
{
    struct rgb srgb;

    colour_srgb_from_lab(&lab, 1, &srgb);
    return (struct paint){srgb.channel[0], srgb.channel[1], srgb.channel[2], 1};
}

static void draw_patch(struct canvas *canvas, const struct card *card,
                       const struct measurement *measurement, int patch)
{
    const struct correction_quality *quality = &measurement->quality;
    double x = MARGIN_PX + patch % CARD_COLUMNS * (TILE_PX + GAP_PX);
    double y = MARGIN_PX + patch / CARD_COLUMNS * (TILE_PX + CAPTION_PX + GAP_PX);
    bool measured = quality->left_out[patch] > 0;
    char error[64];

    canvas_fill_box(canvas, (struct box){x, y, TILE_PX, TILE_PX}, paint_of(card->patch[patch]));
    if (measured)
        canvas_fill_box(canvas,
                        (struct box){x + INNER * TILE_PX, y + INNER * TILE_PX,
                                     (1 - 2 * INNER) * TILE_PX, (1 - 2 * INNER) * TILE_PX},
                        paint_of(quality->measured[patch]));
    if (measured)
        snprintf(error, sizeof error, "%.1f; foretold %.1f%s", quality->residual[patch],
                 quality->left_out[patch], quality->used[patch] ? "" : " !");
    else
        snprintf(error, sizeof error, "left out");
    canvas_text(canvas, &(struct lettering){LETTER_PX, true, LETTERING_LEFT, ink},
                (struct point){x, y + TILE_PX + LETTER_PX + 2}, TILE_PX, card->patch_name[patch]);
    canvas_text(canvas, &(struct lettering){LETTER_PX, false, LETTERING_LEFT, faint},
                (struct point){x, y + TILE_PX + LETTER_PX + 2 + LINE_PX}, TILE_PX + GAP_PX, error);
}

static void draw_report(struct canvas *canvas, const struct card_report *report)
{
    const struct lettering plain = {LETTER_PX, false, LETTERING_LEFT, ink},
                           small = {LETTER_PX, false, LETTERING_LEFT, faint};
    const double width = WIDTH_PX - 2 * MARGIN_PX;
    double y = MARGIN_PX + TILES_PX;

    y = canvas_paragraph(canvas, &small, (struct box){MARGIN_PX, y, width, HEIGHT_PX - y},
                         "Around: as the card's table says. Inside: as measured. The figures are "
                         "delta E 2000: in the fit, and foretold from the other patches.");
    for (int i = 0; i < report->count; i++) {
        y += LINE_PX / 2;
        y = canvas_paragraph(canvas, &plain, (struct box){MARGIN_PX, y, width, HEIGHT_PX - y},
                             report->line[i]);
    }
}

enum status card_report_draw(const char *path, const struct card *card,
                             const struct measurement *measurement,
                             const struct card_report *report, struct error *error)
{
    struct canvas *canvas = NULL;
    enum status status = canvas_create((int)WIDTH_PX, (int)HEIGHT_PX, ground, &canvas, error);

    for (int i = 0; !status && i < CARD_PATCHES; i++)
        draw_patch(canvas, card, measurement, i);
    if (!status)
        draw_report(canvas, report);
    if (!status)
        status = canvas_write_png(canvas, path, error);
    canvas_release(canvas);
    return status;
}
