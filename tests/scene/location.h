#ifndef SCENE_LOCATION_H
#define SCENE_LOCATION_H

#include "plan.h"

/*
 * The location set: photos that are hard to find one's way in. It goes round
 * a list of items, each a trouble of its own over a photo drawn for a grade.
 */

int items_count(void);

/** The name of an item, from 1. */
const char *item_label(int item);

/** The item of a name; there must be one. */
int item_number(const char *label);

/** Draw the photo of an item that is the `number`-th of its grade; the same one each time. */
struct plan location_draw(enum grade grade, int number, int item);

/** The item whose turn it is at a number, from 1. */
int location_item(int number);

#endif
