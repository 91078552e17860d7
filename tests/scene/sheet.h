#ifndef SCENE_SHEET_H
#define SCENE_SHEET_H

#include "inks.h"
#include "plan.h"
#include "plate.h"
#include "print.h"

#include <gsl/gsl_rng.h>

/*
 * The sheet with its chart. Sheet coordinates are mm from its top left corner
 * along the paper, however it curls.
 */

enum {
    CHART_SIDE_MAX = 12,
    CELLS_MAX = CHART_SIDE_MAX * CHART_SIDE_MAX,
    NO_INK = -1,
    DENSITY_STEPS = 64
};

/* Densities of ink run from 0 to DENSITY_MAX of a good print. */
#define DENSITY_MAX 2.0

struct cell {
    int ink; /* or NO_INK */
    struct point stamp_centre;
    double half_width, half_height, cosine, sine;
    double density, mottle;
    int hatched;
    unsigned seed;
};

/* How far a line of the grid, drawn by hand, is off at its start and at its end. */
struct grid_line {
    double start_mm, end_mm;
};

struct sheet {
    struct plate plate;
    double width_mm, height_mm;
    int rows, columns;
    struct point first; /* top left cell's corner */
    struct point room;  /* the centre of the part left free for a card, if it lies on the sheet */
    double cell_width_mm, cell_height_mm, pitch_x_mm, pitch_y_mm;
    double column_x[CHART_SIDE_MAX], row_y[CHART_SIDE_MAX]; /* left and upper edges */
    struct grid_line across[CHART_SIDE_MAX + 1], down[CHART_SIDE_MAX + 1];
    int untrue; /* the grid's lines are not 0 */
    int shape;
    double softness_mm, irregularity_mm;
    double veil; /* part of a perfect white that lies over it */
    struct cell cells[CELLS_MAX];
    struct spectrum paper;
    struct print print;

    /* One side lifts: height = bend * (way past the start)^2. */
    struct point lift; /* unit vector towards the side that lifts */
    int lift_both;     /* the opposite side too */
    double lift_start_mm, bend_per_mm;

    struct response *ink_response; /* cells x (DENSITY_STEPS + 1) */
    struct response paper_response, white_response, tool_response[TOOLS];
};

/** The sizes of the sheet for a plan; it is laid out but not yet on the desk. */
void sheet_lay_out(struct sheet *sheet, const struct plan *plan, gsl_rng *rng);

/** Draw outlines, labels, title and marks. */
void sheet_print(struct sheet *sheet, const struct plan *plan, double px_per_mm, gsl_rng *rng);

/** Work out how the camera sees each ink. */
void sheet_expose(struct sheet *sheet, const struct receptor *receptor);
void sheet_release(struct sheet *sheet);

/** The top left corner of a cell; row and column from 0. */
struct point sheet_cell_corner(const struct sheet *sheet, int row, int column);

/** Any corner of it, 0 to 3 clockwise from the top left. */
struct point sheet_cell_vertex(const struct sheet *sheet, int row, int column, int corner);

struct point sheet_cell_middle(const struct sheet *sheet, int row, int column);

enum { STAMP_CORNERS = 4, STAMP_DISC_POINTS = 16 };

/**
 * The outline of the ink itself, clockwise: 4 corners from the top left, or points of a disc.
 *
 * Returns: how many; `points` has room for STAMP_DISC_POINTS.
 */
int sheet_stamp_outline(const struct sheet *sheet, int cell, struct point points[]);

/** Where a point of the sheet is in space. */
struct point sheet_in_space(const struct sheet *sheet, struct point place, double *height_mm);

void sheet_paint(const struct sheet *sheet, const struct sight *sight, struct response *colour);

/** True CIELAB of the inner 60 % of a cell as stamped (50 % of a disc); of the paper where it is
 * blank. */
void sheet_cell_lab(const struct sheet *sheet, const struct observer *observer, int cell,
                    double lab[3]);

#endif
