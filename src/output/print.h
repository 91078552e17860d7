#ifndef WOAD_OUTPUT_PRINT_H
#define WOAD_OUTPUT_PRINT_H

#include "base/error.h"
#include "canvas.h"

#include <stdint.h>

/*
 * Pages to be printed, drawn as shapes and text. Units are millimetres of the
 * page, x right, y down, (0, 0) its upper left corner. A failure while drawing
 * is kept and told by print_write.
 */
struct print; /* opaque: its members are in print.c */

/* Text in a box: broken into at most `lines` lines, and made smaller where it does not fit. */
struct print_text {
    double size_mm; /* of the letters' line */
    bool bold;
    enum lettering_side side;
    int lines; /* at most */
    struct paint paint;
};

/* What the document says of itself. */
struct print_about {
    const char *title;
    int64_t made_utc_s; /* 0: it says none; the same time gives the same bytes */
};

/**
 * Begin a document of pages of one size; the first is added with print_add_page.
 *
 * Units:   `page` its width and height in millimetres.
 * Owns:    the caller releases it with print_release; `about` is borrowed until then.
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status print_create(struct point page, const struct print_about *about,
                                  struct print **print, struct error *error);
void print_release(struct print *print);

/* What a printer makes of a point of the page: scale times the point, and the shift. */
struct print_habit {
    struct point scale;
    struct point shift_mm;
};

/**
 * Add a page; what is drawn from now on stands on it, drawn so that a printer of that habit puts
 * it where it belongs.
 *
 * Shape:   `habit` NULL: the printer is true.
 * Returns: STATUS_OK; STATUS_USAGE for too many pages; STATUS_MEMORY.
 */
MUST_USE enum status print_add_page(struct print *print, const struct print_habit *habit,
                                    struct error *error);

int print_pages(const struct print *print);

/**
 * Write the document as its name's ending says: .pdf, or .svg and .png with a file a page
 * (NAME-2.svg is the second). PDF viewers that honour it print without scaling.
 *
 * Returns: STATUS_OK; STATUS_USAGE for another ending; STATUS_FILE; STATUS_MEMORY, also if
 *          drawing failed before.
 */
MUST_USE enum status print_write(const struct print *print, const char *path, struct error *error);

/**
 * Whether print_write can write a file of that ending; else the error says which it can.
 *
 * Returns: STATUS_OK; STATUS_USAGE.
 */
MUST_USE enum status print_check_name(const char *path, struct error *error);

void print_fill(struct print *print, struct box box, struct paint paint);
void print_frame(struct print *print, struct box box, double width_mm, struct paint paint);
void print_line(struct print *print, struct point from, struct point to, double width_mm,
                struct paint paint);
void print_dashes(struct print *print, struct point from, struct point to, double width_mm,
                  struct paint paint);

/** Write text into a box, at its top; what does not fit at half its size ends in an ellipsis. */
void print_words(struct print *print, const struct print_text *text, struct box box,
                 const char *words);

/** The same, in the middle of the box's height. */
void print_words_amid(struct print *print, const struct print_text *text, struct box box,
                      const char *words);

#endif
