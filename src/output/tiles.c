#include "output/tiles.h"

#include "canvas.h"

#define TILE_PX 116.0
#define GAP_PX 10.0
#define LETTER_PX 14.0
#define HEADING_PX 17.0
#define NAME_PX (LETTER_PX + 10)
#define ROW_PX (TILE_PX * 0.62 + NAME_PX + GAP_PX)
#define ABOVE_PX (HEADING_PX * 2) /* what a heading takes */
#define MARGIN_PX 30.0
#define A_ROW 10 /* tiles at most; more go on in the next */
#define WIDTH_PX (2 * MARGIN_PX + A_ROW * (TILE_PX + GAP_PX) - GAP_PX)

static const struct paint ground = {0.97, 0.97, 0.965, 1}, ink = {0.12, 0.12, 0.12, 1},
                          light = {1, 1, 1, 1};

/* Where the next tile goes. */
struct place {
    double y;
    size_t column;
};

/* Step to where a tile stands. */
static void step(const struct tile *tile, bool first, struct place *place)
{
    if (!first && (tile->heading || place->column + 1 == A_ROW)) {
        place->y += ROW_PX;
        place->column = 0;
    } else if (!first) {
        place->column++;
    }
    if (tile->heading && tile->heading[0])
        place->y += ABOVE_PX;
}

static void draw_tile(struct canvas *canvas, const struct tile *tile, const struct place *place)
{
    const double x = MARGIN_PX + (double)place->column * (TILE_PX + GAP_PX);
    const struct box box = {x, place->y, TILE_PX, TILE_PX * 0.62};
    struct rgb srgb;

    colour_srgb_from_lab(&tile->lab, 1, &srgb);
    if (tile->heading)
        canvas_text(canvas, &(struct lettering){HEADING_PX, true, LETTERING_LEFT, ink},
                    (struct point){x, place->y - HEADING_PX * 0.6}, WIDTH_PX - 2 * MARGIN_PX,
                    tile->heading);
    canvas_fill_box(canvas, box,
                    (struct paint){srgb.channel[0], srgb.channel[1], srgb.channel[2], 1});
    if (tile->marked)
        canvas_dot(canvas, (struct point){x + GAP_PX, place->y + GAP_PX}, GAP_PX / 2,
                   tile->lab.L > 55 ? ink : light);
    canvas_text(canvas, &(struct lettering){LETTER_PX, tile->marked, LETTERING_LEFT, ink},
                (struct point){x, place->y + box.height + LETTER_PX + 2}, TILE_PX, tile->name);
}

static double height_of(const struct tile *tiles, size_t count)
{
    struct place place = {MARGIN_PX, 0};

    for (size_t i = 0; i < count; i++)
        step(&tiles[i], i == 0, &place);
    return place.y + ROW_PX + MARGIN_PX;
}

enum status tiles_write(const char *path, const struct tile *tiles, size_t count,
                        struct error *error)
{
    struct place place = {MARGIN_PX, 0};
    struct canvas *canvas = NULL;
    enum status status =
        canvas_create((int)WIDTH_PX, (int)height_of(tiles, count), ground, &canvas, error);

    for (size_t i = 0; !status && i < count; i++) {
        step(&tiles[i], i == 0, &place);
        draw_tile(canvas, &tiles[i], &place);
    }
    if (!status)
        status = canvas_write_png(canvas, path, error);
    canvas_release(canvas);
    return status;
}
