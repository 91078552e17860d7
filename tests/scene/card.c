#include "card.h"

#include "basics.h"
#include "noise.h"

#include <math.h>

#define FRAME_PITCHES 0.3  /* from the patches' outer pitch to the card's rim */
#define PATCH_PITCHES 0.87 /* the rest is dark gap */

double card_width_mm(enum edition edition, double pitch_mm)
{
    return (patch_grid(edition).columns + 2.0 * FRAME_PITCHES) * pitch_mm;
}

double card_height_mm(enum edition edition, double pitch_mm)
{
    return (patch_grid(edition).rows + 2.0 * FRAME_PITCHES) * pitch_mm;
}

struct card card_make(enum edition edition, double pitch_mm, struct point centre, double degrees)
{
    struct card card = {.edition = edition,
                        .grid = patch_grid(edition),
                        .plate = plate_make(centre, degrees, card_width_mm(edition, pitch_mm),
                                            card_height_mm(edition, pitch_mm), 1.0),
                        .pitch_mm = pitch_mm,
                        .patch_mm = PATCH_PITCHES * pitch_mm};

    return card;
}

static struct response see_grey(const struct receptor *receptor, double level)
{
    struct spectrum grey;

    for (int i = 0; i < BANDS; i++)
        grey.at[i] = level;
    return receptor_see(receptor, &grey);
}

void card_expose(struct card *card, const struct observer *observer,
                 const struct receptor *receptor)
{
    for (int patch = 0; patch < patch_count(card->edition); patch++) {
        struct spectrum good = patch_reflectance(observer, card->edition, patch);
        struct spectrum reflectance = card_worn(&good, patch, card->print, card->wear);

        card->patches[patch] = receptor_see(receptor, &reflectance);
    }
    card->frame = see_grey(receptor, 0.022);
    card->edge = see_grey(receptor, 0.22);
    card->slip = see_grey(receptor, 0.7);
    card->white = see_grey(receptor, 1.0);
}

struct point card_patch_place(const struct card *card, int patch, double across, double down)
{
    int rows = card->grid.rows, columns = card->grid.columns;

    return (struct point){
        (patch % columns - (columns - 1) / 2.0) * card->pitch_mm + across * card->patch_mm / 2.0,
        (patch / columns - (rows - 1) / 2.0) * card->pitch_mm + down * card->patch_mm / 2.0};
}

int card_patch_covered(const struct card *card, int patch)
{
    int column = patch % card->grid.columns - card->slip_column;
    int row = patch / card->grid.columns - card->slip_row;

    return row >= 0 && row < card->slip_rows && column >= 0 &&
           column < card->covered / card->slip_rows;
}

static void paint_slip(const struct card *card, struct point local, double footprint_mm,
                       struct response *colour)
{
    struct point first =
        card_patch_place(card, card->slip_row * card->grid.columns + card->slip_column, 0.0, 0.0);
    int columns = card->covered / card->slip_rows;
    double further_down = (card->slip_rows - 1) / 2.0 * card->pitch_mm;
    struct plate slip = {
        .centre = {first.x + (columns - 1) / 2.0 * card->pitch_mm, first.y + further_down},
        .cosine = 0.9994,
        .sine = 0.0349,
        .half_width = (0.46 * columns + 0.04) * card->pitch_mm,
        .half_height = 0.52 * card->pitch_mm + further_down};
    double distance = plate_distance(&slip, plate_local(&slip, local), 0.3);

    colour_over(colour, &card->slip, coverage(distance, footprint_mm));
}

static struct response face_at(const struct card *card, struct point local, double footprint_mm)
{
    int rows = card->grid.rows, columns = card->grid.columns;
    double across = clamp(floor(local.x / card->pitch_mm + columns / 2.0), 0.0, columns - 1.0);
    double down = clamp(floor(local.y / card->pitch_mm + rows / 2.0), 0.0, rows - 1.0);
    int patch = (int)down * columns + (int)across;
    struct point centre = card_patch_place(card, patch, 0.0, 0.0);
    struct plate square_patch = {.centre = centre,
                                 .cosine = 1.0,
                                 .half_width = card->patch_mm / 2.0,
                                 .half_height = card->patch_mm / 2.0};
    double rim = plate_distance(&card->plate, local, 1.5);
    double distance =
        plate_distance(&square_patch, plate_local(&square_patch, local), 0.02 * card->pitch_mm);
    struct response colour = card->frame;

    colour_over(&colour, &card->edge, coverage(-rim - 0.35, footprint_mm));
    colour_over(&colour, &card->patches[patch], coverage(distance, footprint_mm));
    if (card->covered)
        paint_slip(card, local, footprint_mm, &colour);
    colour_scale(&colour, 1.0 + 0.008 * noise_smooth(local.x / 0.5, local.y / 0.5, 5u));
    return colour;
}

void card_paint(const struct card *card, const struct sight *sight, struct response *colour)
{
    struct point local =
        plate_local(&card->plate, view_meet(sight->view, sight->direction, card->plate.height));
    double inside = coverage(plate_distance(&card->plate, local, 1.5), sight->footprint_mm);
    struct response face;

    plate_cast_shadow(&card->plate, sight, 3.0, colour);
    if (inside <= 0.0)
        return;
    face = face_at(card, local, sight->footprint_mm);
    if (card->veil > 0.0)
        colour_over(&face, &card->white, card->veil);
    if (card->dim != 0.0)
        colour_scale(&face, 1.0 - card->dim);
    colour_over(colour, &face, inside);
}
