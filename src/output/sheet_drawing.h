#ifndef WOAD_OUTPUT_SHEET_DRAWING_H
#define WOAD_OUTPUT_SHEET_DRAWING_H

/* What the sheets share: paints, letters, a measure. Millimetres of the page. */

#include "print.h"
#include "values/colour.h"

#define SHEET_BLACK ((struct paint){0, 0, 0, 1})
#define SHEET_QUIET ((struct paint){0.45, 0.45, 0.45, 1}) /* of what is said beside */
#define SHEET_FRAME ((struct paint){0.80, 0.80, 0.80, 1}) /* light: no ink is as pale and grey */

/** A box from a quad of the page whose sides are upright. */
struct box sheet_box(const struct quad *quad);

/** A measure of 100 mm with its ends marked: downwards or to the right. */
void sheet_measure(struct print *print, struct point from, bool down);

/** A tag, all its modules. */
void sheet_tag(struct print *print, struct point corner, int sheet, int number);

/** How an ink's colour is painted on the page. */
struct paint sheet_paint(struct lab lab);

/** Words at the top of a box, in black, shrunk to fit. */
void sheet_words(struct print *print, double size_mm, int lines, struct box box, const char *words);

/** The same, quiet, to the side told. */
void sheet_remark(struct print *print, enum lettering_side side, struct box box, const char *words);

#endif
