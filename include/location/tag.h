#ifndef WOAD_LOCATION_TAG_H
#define WOAD_LOCATION_TAG_H

#include "base/error.h"
#include "files/photo.h"
#include "values/geometry.h"

#include <stdbool.h>

/*
 * Printed marks the camera reads: the family tagStandard41h12, of which each
 * tag is 9 x 9 modules with a black ring about the inner 5 x 5, whose outline
 * is what is found; a tag's number tells the sheet and the corner.
 */
#define TAG_MODULES 9
#define TAG_RING 5 /* modules across what the ring encloses */
#define TAG_NUMBERS 2115
#define TAG_SHEETS (TAG_NUMBERS / 4) /* sheets are numbered from 1 to less than this */

/* One tag found in a photo. */
struct tag {
    int sheet;        /* its number */
    int corner;       /* 0 to 3, clockwise from the sheet's own top left */
    struct quad ring; /* what its ring encloses, clockwise from the tag's own top left; working
                         pixels */
};

#define TAGS_MAX 64
struct tags {
    struct tag items[TAGS_MAX];
    int count;
};

/** Whether a module of a tag is black; the tag stands upright, with one module of paper around. */
void tag_pattern(int sheet, int corner, bool black[TAG_MODULES][TAG_MODULES]);

/**
 * Find the tags in a photo.
 *
 * Returns: STATUS_OK, with none if there are none; STATUS_MEMORY.
 * Source:  Krogius, Haggenmiller and Olson 2019, through libapriltag.
 */
MUST_USE enum status tags_find(const struct photo *photo, struct tags *tags, struct error *error);

#endif
