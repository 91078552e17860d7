#ifndef WOAD_LOCATION_CARD_MATCH_H
#define WOAD_LOCATION_CARD_MATCH_H

#include "base/error.h"
#include "files/card.h"
#include "files/photo.h"
#include "recognition.h"
#include "vision/lattice.h"

#include <stdbool.h>
#include <stddef.h>

/* How the card is laid on lattices and told by its colours; used by card_pose.c only. */

#define CARD_TURNS 4

/* One way to lay the card on a lattice. */
struct card_layout {
    struct card_shape shape;
    int column, row; /* the window's first place */
    int turns;
    bool mirrored;
};

/* The regions a card may lie on, and the map fitted to them alone. */
struct card_window {
    struct lattice_node nodes[CARD_PATCHES_MAX];
    size_t count;
    struct homography map;
};

/* A layout with how well it fits; a window without nodes is no match. */
struct card_match {
    struct card_layout layout;
    struct card_window window;
    struct recognition recognition;
    double next_best; /* misfit of the best other match over the same place, in another turn */
};

/* The best match, and the best that does not lie over it. */
struct card_matches {
    struct card_match first;
    struct card_match second;
};

/** No match yet. */
struct card_matches card_match_none(void);

/** The column and row of a lattice that a patch lies on. */
void card_match_place(const struct card_layout *layout, int patch, int *column, int *row);

/**
 * Try every window of a lattice in every turn, seen from the front or mirrored; keep the best in
 * `best`.
 *
 * Returns: STATUS_OK, also when nothing fits; STATUS_MEMORY.
 */
MUST_USE enum status card_match_lattice(const struct photo *photo, const struct lattice *lattice,
                                        const struct card *card, bool mirrored,
                                        struct card_matches *best, struct error *error);

/** Look at all places of one match through its window's map; keep the better in `best`. */
void card_match_consider(const struct photo *photo, const struct card *card,
                         struct card_match *match, struct card_matches *best);

#endif
