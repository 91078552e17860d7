#ifndef WOAD_QUESTIONS_OVERVIEW_H
#define WOAD_QUESTIONS_OVERVIEW_H

#include "questions/ordered_range.h"
#include "values/interval.h"

/* The whole range at a look: in colour order, and for each ink what could stand in for it. */

#define OVERVIEW_STANDINS 6 /* as many as are looked at side by side */
/* Beyond this nothing stands in for anything, and only the nearest is named; common practice, no
 * source: at a delta E 2000 of 10 two colours are told apart from memory. */
#define OVERVIEW_WITHIN 10.0

struct overview_standin {
    size_t place; /* of the ink, in colour order */
    struct interval delta_e;
};

struct overview_ink {
    const struct range_ink *ink;
    size_t family; /* of ordered.families */
    struct screen_colour on_screen;
    struct overview_standin standins[OVERVIEW_STANDINS]; /* the nearest first */
    size_t standin_count; /* 0 until overview_find_standins is asked */
};

struct overview {
    struct ordered_range ordered;
    struct overview_ink *inks; /* in colour order; they point into `ordered` */
    size_t *places;            /* of each ink of the range, where it stands among them */
    size_t count;
};

/**
 * Look over the range of an inventory.
 *
 * Shape:   as ordered_range_load.
 * Owns:    the caller releases `overview` with overview_release, also on failure.
 * Returns: as ordered_range_load; STATUS_MEMORY.
 */
MUST_USE enum status overview_load(const char *given, const char *families, size_t finely_max,
                                   struct overview *overview, struct error *error);

/** Find the inks nearest to the one at a place. Returns: STATUS_OK; STATUS_MEMORY. */
MUST_USE enum status overview_find_standins(struct overview *overview, size_t place,
                                            struct error *error);

/** Where the ink of a name stands; false: none with a colour has it. */
bool overview_find(const struct overview *overview, const char *name, size_t *place);

void overview_release(struct overview *overview);

#endif
