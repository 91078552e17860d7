#ifndef SCENE_PRINT_H
#define SCENE_PRINT_H

#include "view.h"

/*
 * What is drawn on a sheet besides ink: printing, pencil and pen, kept as a
 * picture of how much of the paper each covers.
 */

enum tool { TOOL_BLACK, TOOL_PEN, TOOLS };

struct print {
    double px_per_mm;
    int width_px, height_px;
    unsigned char *covered[TOOLS];
};

struct stroke {
    enum tool tool;
    double width_mm, strength;
};

void print_start(struct print *print, double width_mm, double height_mm, double px_per_mm);
void print_release(struct print *print);

void print_line(struct print *print, struct point from, struct point to,
                const struct stroke *stroke);

/** A line by an unsteady hand. */
void print_sketch(struct print *print, struct point from, struct point to,
                  const struct stroke *stroke, unsigned seed);

/** Letters of a height, centred in a width; they shrink until they fit. */
void print_text(struct print *print, struct point left, double width_mm, double height_mm,
                const char *text, const struct stroke *stroke);

/** How much of a place each tool covers. */
void print_at(const struct print *print, struct point place, double covered[TOOLS]);

#endif
