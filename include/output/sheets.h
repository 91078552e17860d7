#ifndef WOAD_OUTPUT_SHEETS_H
#define WOAD_OUTPUT_SHEETS_H

#include "base/error.h"
#include "files/names.h"
#include "inventory/print_setups.h"
#include "location/printed_chart.h"
#include "values/colour.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/*
 * Sheets to print: written as .pdf, .svg or .png, as the file's ending says.
 * All of it is drawn by measure, so that it has to be printed at 100 %.
 */

/* What each sheet says of itself; texts are borrowed. */
struct sheet_about {
    const char *title;
    const char *date;                        /* as it is shown */
    int64_t made_utc_s;                      /* the same time gives the same bytes */
    const struct inventory_printer *printer; /* whose habit is undone; NULL: it is true to size */
    bool first_only;                         /* no page after the first is drawn */
};

/**
 * Whether a file of that name can be written; else the error says which endings can.
 *
 * Returns: STATUS_OK; STATUS_USAGE.
 */
MUST_USE enum status sheet_check_name(const char *path, struct error *error);

/* One page of a chart. */
struct sheet_page {
    int number;                /* the sheet's, which its tags tell the camera */
    int revision;              /* from 1: printed again after the first time */
    const struct names *names; /* laid out as its cells */
};

/**
 * Write the pages of a chart: cells with the inks' names, tags at the corners, greys, rules.
 *
 * Returns: STATUS_OK; STATUS_USAGE for a file's ending; STATUS_FILE; STATUS_MEMORY.
 */
MUST_USE enum status sheet_write_chart(const char *path, const struct printed_chart *chart,
                                       const struct sheet_about *about,
                                       const struct sheet_page *pages, size_t count,
                                       struct error *error);

/**
 * Write the stencil that masks the squares of a chart while they are inked.
 *
 * Returns: as sheet_write_chart.
 */
MUST_USE enum status sheet_write_window(const char *path, const struct printed_chart *chart,
                                        const struct sheet_about *about, struct error *error);

/* An ink as a sheet shows it, or a blank cell: then its name is empty. */
struct sheet_ink {
    struct name name;
    bool measured; /* else it has no colour */
    struct lab lab;
};

/* Inks in order, borrowed. */
struct sheet_list {
    const struct sheet_ink *inks;
    size_t count;
};

struct label_style {
    int start;     /* the first label used, from 1: a page begun before is used up */
    bool coloured; /* show the colour of what is measured */
    bool outlined; /* draw the labels' edges: to cut, or to try a printer */
};

/** The kinds of labels built in, called by their measures; *count of them. */
const struct inventory_stock *sheet_label_stocks(size_t *count);

/**
 * Whether a stock's labels lie on its page, off one another.
 *
 * Returns: STATUS_OK; STATUS_USAGE, with what reaches too far.
 */
MUST_USE enum status sheet_check_stock(const struct inventory_stock *stock, struct error *error);

/**
 * Write labels, an ink's each: its name and, if measured and `coloured`, its colour.
 *
 * Returns: as sheet_write_chart; STATUS_USAGE if the stock does not fit on its page.
 */
MUST_USE enum status sheet_write_labels(const char *path, const struct inventory_stock *stock,
                                        const struct sheet_about *about,
                                        const struct sheet_list *list,
                                        const struct label_style *style, struct error *error);

/**
 * Write the range as a wall of tiles with names and numbers.
 *
 * Returns: as sheet_write_chart.
 */
MUST_USE enum status sheet_write_range(const char *path, struct point page_mm,
                                       const struct sheet_about *about,
                                       const struct sheet_list *list, struct error *error);

/**
 * Write a printer's test page, and its back if asked for: struct printed_test is measured on it.
 *
 * Returns: as sheet_write_chart; STATUS_USAGE for a page too small.
 */
MUST_USE enum status sheet_write_test(const char *path, struct point page_mm,
                                      const struct sheet_about *about, bool back,
                                      struct error *error);

/* One cell of a strip: an ink alone, or a blend of its neighbours. */
struct sheet_strip_cell {
    const char *ink;     /* NULL: a blend; borrowed */
    double second_share; /* of the second ink of a blend, 0 to 1 */
    bool foreseen;       /* else its colour is not known */
    struct lab lab;
};

/* A combination to be blended, from its first ink to its last. */
#define SHEET_STRIP_CELLS 9
struct sheet_strip {
    struct sheet_strip_cell cells[SHEET_STRIP_CELLS];
    int count;
};

struct sheet_strips {
    struct sheet_strip *items;
    size_t count;
    bool backs; /* the names stand on the pages' backs, else on flaps */
};

/* Kept free below each strip: the flap that folds behind it; or, with the names on the back, the
 * forecast alone. */
#define SHEET_FLAP_MM 17.0
#define SHEET_FORESEEN_MM 7.0

/**
 * Write strips, one a row of the chart laid out with what is kept free below: cells to blend on,
 * the shares below them and the forecast; names and date on a flap that folds behind, or on the
 * page's back, for printers that turn the paper over its long edge.
 *
 * Shape:   `numbers` the sheets' numbers, one a page.
 * Returns: as sheet_write_chart.
 */
MUST_USE enum status sheet_write_strips(const char *path, const struct printed_chart *chart,
                                        const struct sheet_about *about,
                                        const struct sheet_strips *strips, const int *numbers,
                                        struct error *error);

#endif
