#ifndef WOAD_LOCATION_CHART_CHOICE_H
#define WOAD_LOCATION_CHART_CHOICE_H

#include "base/error.h"
#include "files/photo.h"
#include "location/pose.h"
#include "vision/lattice.h"
#include "vision/regions.h"

/* Which lattices of a photo are charts; used by chart_pose.c only. */

struct chart_choice {
    struct lattice *lattice; /* one of the choices' lattices, cleaned of what is no cell */
    double ink;              /* square pixels */
    int number;              /* from 1: side by side the left one first, else the upper one */
};

struct chart_choices {
    struct lattices lattices;
    struct chart_choice items[CHARTS_MAX]; /* most ink first */
    int count;
};

/**
 * Find the lattices that are charts: ink on white paper, off the cards, none
 * over another.
 *
 * Owns:    the caller releases `choices`, zeroed before, with chart_choices_release.
 * Returns: STATUS_OK, also when there is none; STATUS_MEMORY.
 */
MUST_USE enum status chart_choice_find(const struct photo *photo, const struct regions *regions,
                                       const struct card_pose cards[2],
                                       struct chart_choices *choices, struct error *error);

void chart_choices_release(struct chart_choices *choices);

#endif
