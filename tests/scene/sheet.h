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
    unsigned seed;
};

struct sheet {
    struct plate plate;
    double width_mm, height_mm;
    int rows, columns;
    struct point first; /* top left cell's corner */
    struct point room;  /* the centre of the part left free for a card, if it lies on the sheet */
    double cell_width_mm, cell_height_mm, pitch_x_mm, pitch_y_mm;
    double softness_mm, irregularity_mm;
    struct cell cells[CELLS_MAX];
    struct spectrum paper;
    struct print print;

    /* One side lifts: height = bend * (way past the start)^2. */
    struct point lift; /* unit vector towards the side that lifts */
    double lift_start_mm, bend_per_mm;

    struct response *ink_response; /* cells x (DENSITY_STEPS + 1) */
    struct response paper_response, tool_response[TOOLS];
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

/** Where a point of the sheet is in space. */
struct point sheet_in_space(const struct sheet *sheet, struct point place, double *height_mm);

void sheet_paint(const struct sheet *sheet, const struct sight *sight, struct response *colour);

/** True CIELAB of the inner 60 % of a cell as stamped; of the paper where it is blank. */
void sheet_cell_lab(const struct sheet *sheet, const struct observer *observer, int cell,
                    double lab[3]);

#endif
