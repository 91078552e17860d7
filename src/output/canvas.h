#ifndef WOAD_OUTPUT_CANVAS_H
#define WOAD_OUTPUT_CANVAS_H

#include "base/error.h"
#include "values/geometry.h"
#include "values/image.h"

#include <stdbool.h>

/*
 * A picture to draw on. Units are its pixels, x right, y down, (0, 0) the
 * outer corner of the first. What lies outside is cut off. A failure while
 * drawing is kept and told by canvas_write_png.
 */
struct canvas; /* opaque: its members are in canvas.c */

struct box {
    double x;
    double y;
    double width;
    double height;
};

/* An sRGB colour, 0 to 1 a channel, and how much it covers. */
struct paint {
    double red;
    double green;
    double blue;
    double cover;
};

/* A line seen on any ground: a light core within a dark rim. */
struct outline {
    double width_px; /* of the core */
    bool dashed;
    double cover; /* 0 to 1 */
};

enum lettering_side { LETTERING_LEFT, LETTERING_CENTRE, LETTERING_RIGHT };

struct lettering {
    double size_px;
    bool bold;
    enum lettering_side side; /* which part of the text stands at the point given */
    struct paint paint;
};

#define CANVAS_LINE_SPACING 1.32 /* from line to line, in letter sizes */

/**
 * Make a picture of one colour.
 *
 * Owns:    the caller releases it with canvas_release.
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status canvas_create(int width_px, int height_px, struct paint ground,
                                   struct canvas **canvas, struct error *error);
/**
 * Make a picture that keeps what is drawn as shapes, for canvas_write_svg; else as canvas_create.
 *
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status canvas_create_shapes(int width_px, int height_px, struct paint ground,
                                          struct canvas **canvas, struct error *error);

void canvas_release(struct canvas *canvas);

/**
 * Write the picture as PNG; the file appears whole or not at all.
 *
 * Returns: STATUS_OK; STATUS_FILE; STATUS_MEMORY, also if drawing failed before.
 */
MUST_USE enum status canvas_write_png(const struct canvas *canvas, const char *path,
                                      struct error *error);

/**
 * Write a picture made by canvas_create_shapes as SVG, after which it is finished; else as
 * canvas_write_png.
 *
 * Returns: STATUS_OK; STATUS_FILE; STATUS_MEMORY.
 */
MUST_USE enum status canvas_write_svg(struct canvas *canvas, const char *path, struct error *error);

/* --- shapes --- */

/** Scale an image into a box; its samples are shown as sRGB. */
void canvas_image(struct canvas *canvas, const struct image *image, struct box box);

void canvas_fill_box(struct canvas *canvas, struct box box, struct paint paint);
void canvas_fill_quad(struct canvas *canvas, const struct quad *quad, struct paint paint);

/** Cover a box but for some windows in it. */
void canvas_veil(struct canvas *canvas, struct box box, const struct quad *windows, int count,
                 struct paint paint);

void canvas_outline_quad(struct canvas *canvas, const struct quad *quad, struct outline outline);
void canvas_outline_line(struct canvas *canvas, struct point from, struct point to,
                         struct outline outline);
void canvas_line(struct canvas *canvas, struct point from, struct point to, double width_px,
                 struct paint paint);
/** A line through several points. */
void canvas_lines(struct canvas *canvas, const struct point *points, int count, double width_px,
                  struct paint paint);
void canvas_dot(struct canvas *canvas, struct point centre, double radius, struct paint paint);
void canvas_ring(struct canvas *canvas, struct point centre, double radius, struct outline outline);

struct quad box_quad(struct box box);

/* --- text, in UTF-8; what is malformed is shown as '?' --- */

double canvas_text_width(struct canvas *canvas, const struct lettering *lettering,
                         const char *text);

/** The width of the widest word: what a narrower box would break within words. */
double canvas_word_width(struct canvas *canvas, const struct lettering *lettering,
                         const char *text);

/** Write one line, its baseline at `at`; what is wider than `width_px` ends in an ellipsis. */
void canvas_text(struct canvas *canvas, const struct lettering *lettering, struct point at,
                 double width_px, const char *text);

/**
 * Write text in a box, broken into lines; what passes the box's lower side is
 * left out and the last line ends in an ellipsis.
 *
 * Returns: the y below the last line.
 */
double canvas_paragraph(struct canvas *canvas, const struct lettering *lettering, struct box box,
                        const char *text);

#endif
