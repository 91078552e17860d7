#ifndef WOAD_OUTPUT_CHECK_LAYOUT_H
#define WOAD_OUTPUT_CHECK_LAYOUT_H

#include "canvas.h"

#include <stdbool.h>

#define CHECK_WIDTH_PX 2000

/*
 * Where things stand on the check picture: the photo, beside or below it the
 * panel: its heading, the chart's grid, a column of facts and one of notes.
 * A chart of many columns gets the whole width, so that no name is cut. Facts
 * and notes are as high as what is in them.
 */
struct check_layout {
    bool panel_below; /* for photos that are wider than high */
    bool named;
    int rows; /* of the chart; 0: no grid */
    int columns;
    struct box photo;
    struct box panel; /* its height: at least */
    struct box heading;
    struct box grid; /* with its letters and numbers at the rims */
    struct box facts;
    struct box notes;
    bool notes_are_footer; /* in columns over the whole width, below all else */
    struct box first_tile; /* the colour chip of cell A1 */
    double column_px;      /* from cell to cell */
    double row_px;
    double name_px; /* size of letters; 0: there is no room for any */
    int name_lines;
    int number_lines;
};

/**
 * Lay out the check picture of a photo.
 *
 * Shape:   `rows`, `columns` of its chart; 0 if there is none; `named` if its
 *          cells go by names, which take more room than labels.
 */
struct check_layout check_layout_make(const struct image *photo, int rows, int columns, bool named);

/** Move the grid, and what stands below it, down to `y` at least. */
void check_layout_push(struct check_layout *layout, double y);

/** The colour chip of a cell in the panel's grid; `row` and `column` from 1. */
struct box check_layout_tile(const struct check_layout *layout, int row, int column);

#endif
