#ifndef SCENE_CARD_H
#define SCENE_CARD_H

#include "card_colours.h"
#include "plate.h"

/*
 * The reference card: patches in a dark frame.
 */

struct card {
    enum edition edition;
    struct patch_grid grid;
    struct plate plate;
    double pitch_mm, patch_mm;
    int covered; /* so many patches lie under a slip of paper */
    int slip_row, slip_column, slip_rows;
    int print;
    double wear;
    double dim, veil; /* light that it lacks; white that lies over it, both as parts */
    struct response patches[PATCHES_MAX], frame, edge, slip, white;
};

/** The size of the card's face. */
double card_width_mm(enum edition edition, double pitch_mm);
double card_height_mm(enum edition edition, double pitch_mm);

struct card card_make(enum edition edition, double pitch_mm, struct point centre, double degrees);

void card_expose(struct card *card, const struct observer *observer,
                 const struct receptor *receptor);

/** The centre of a patch, moved by so many halves of its size, in the card's own mm. */
struct point card_patch_place(const struct card *card, int patch, double across, double down);

int card_patch_covered(const struct card *card, int patch);

void card_paint(const struct card *card, const struct sight *sight, struct response *colour);

#endif
