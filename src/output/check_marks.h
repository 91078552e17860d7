#ifndef WOAD_OUTPUT_CHECK_MARKS_H
#define WOAD_OUTPUT_CHECK_MARKS_H

/* Private to src/output: the marks of the check picture, the same in photo, panel and legend. */

#include "check_drawing.h"

/* Greys only: they do not sway the eye beside the colours shown. */
struct paint check_ink(void);   /* letters */
struct paint check_faint(void); /* lesser letters, rules */
struct paint check_ground(void);

/** A solid colour within a rim seen on any ground. */
void check_mark_chip(struct canvas *canvas, struct box box, const struct shown *shown);

/** Two colours side by side: measured left, tabulated right. */
void check_mark_split(struct canvas *canvas, struct box box, const struct shown *left,
                      const struct shown *right);

/** Two lines from corner to corner: left out, not read. */
void check_mark_cross(struct canvas *canvas, const struct quad *quad);

/** A dot: something is said of this one in the list. */
#define CHECK_LOOK_PX 5 /* its radius */
void check_mark_look(struct canvas *canvas, struct point at);

/** A cut corner: the card's first patch. */
void check_mark_notch(struct canvas *canvas, const struct quad *patch);

/** A small ring: no screen shows this colour. */
void check_mark_ring(struct canvas *canvas, struct box box);

/** A line of letters on a light plate, centred in the box's width. */
void check_mark_plate(struct canvas *canvas, struct box box, double size_px, const char *text);

#endif
