#ifndef WOAD_OUTPUT_SHEET_DRAWING_H
#define WOAD_OUTPUT_SHEET_DRAWING_H

/* What the sheets share: paints, letters, a measure. Millimetres of the page. */

#include "location/printed_chart.h"
#include "output/sheets.h"
#include "print.h"
#include "values/colour.h"

#define SHEET_BLACK ((struct paint){0, 0, 0, 1})
#define SHEET_QUIET ((struct paint){0.45, 0.45, 0.45, 1}) /* of what is said beside */
#define SHEET_FRAME ((struct paint){0.80, 0.80, 0.80, 1}) /* light: no ink is as pale and grey */

/* A document to be drawn page by page; with backs, every second page is the back of the one before.
 */
struct sheet_pages {
    struct point page_mm;
    size_t count;
    bool backs;
    void (*draw)(struct print *print, const struct sheet_about *about, const void *what,
                 size_t page);
    const void *what;
};

/**
 * Draw the pages and write them.
 *
 * Returns: STATUS_OK; STATUS_USAGE for a file's ending or too many pages; STATUS_FILE;
 *          STATUS_MEMORY.
 */
MUST_USE enum status sheet_write_pages(const char *path, const struct sheet_about *about,
                                       const struct sheet_pages *pages, struct error *error);

/** A box from a quad of the page whose sides are upright. */
struct box sheet_box(const struct quad *quad);

/** How an ink's colour is painted on the page. */
struct paint sheet_paint(struct lab lab);

/** The tags of a page, its title with a line below it, and the greys and measures at its foot. */
void sheet_page_marks(struct print *print, const struct printed_chart *chart, int number);
void sheet_page_title(struct print *print, const struct printed_chart *chart, const char *title,
                      const char *line);
void sheet_page_foot(struct print *print, const struct printed_chart *chart);

/** The strip between the upper or the lower tags. */
struct box sheet_between_tags(const struct printed_chart *chart, bool lower);

/** Words at the top of a box, in black, shrunk to fit. */
void sheet_words(struct print *print, double size_mm, int lines, struct box box, const char *words);

/** The same, quiet, to the side told. */
void sheet_remark(struct print *print, enum lettering_side side, struct box box, const char *words);

#endif
