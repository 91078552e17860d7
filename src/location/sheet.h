#ifndef WOAD_LOCATION_SHEET_H
#define WOAD_LOCATION_SHEET_H

#include "base/error.h"
#include "location/chart_pose.h"
#include "warp.h"
#include "values/colour.h"
#include "vision/lattice.h"

#include <stdbool.h>

/* A cell's box in lattice coordinates: its middle and half its width and height. */
struct cell_box {
    struct point middle;
    double half[AXES];
};

/* Of the pitch, where no region tells how much of it a cell fills. */
#define SHEET_HALF_DEFAULT 0.42

/* A colour of the photo, looked at when it is first asked for and then remembered. */
enum look { LOOK_DUE, LOOK_IN_VAIN, LOOK_DONE };

struct looked_at {
    enum look look;
    struct rgb rgb_linear;
};

/*
 * A candidate chart: regions of a photo that stand in columns and rows, and
 * what its cells are like. All but the lattice follows from it, by sheet_fit.
 */
struct sheet {
    const struct view *view; /* the photo it is seen in */
    struct lattice lattice;
    struct warp warp;          /* from the lattice to the photo */
    struct homography inverse; /* back to the lattice's plane, roughly: without the bend */
    struct point far;          /* its end on the lattice's plane */
    struct cell_box usual;     /* a cell's usual box, about (0, 0) */
    struct looked_at *gaps;    /* where four places meet: (columns + 1) * (rows + 1), row by row */
    struct looked_at *papers;  /* the bare paper near each place: columns * rows; behind the gaps */
};

/* The candidates of a photo; they move in memory when one more is added. */
struct sheets {
    struct sheet *items;
    size_t count;
    size_t capacity;
};

/**
 * Put one more sheet behind the others.
 *
 * Owns:    `sheets` takes over the lattice's nodes, also on failure, and borrows the view.
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status sheets_add(const struct view *view, const struct lattice *lattice,
                                struct sheets *sheets, struct error *error);

void sheets_release(struct sheets *sheets);
void sheet_release(struct sheet *sheet);

/**
 * Learn anew what follows from a sheet's lattice, after that was changed.
 *
 * Owns:    the caller releases `sheet`, zeroed but for view and lattice before, with sheet_release.
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status sheet_fit(struct sheet *sheet, struct error *error);

/** The box of one of its regions, from the region's moments. */
struct cell_box sheet_cell_box(const struct sheet *sheet, const struct lattice_node *node);

/** Whether a box is of about the usual size. */
bool sheet_cell_is_usual(const struct sheet *sheet, const struct cell_box *box);

/** A box of the usual size about a place, told by its column and row. */
struct cell_box sheet_usual_cell(const struct sheet *sheet, int column, int row);

/** The box's outline in the photo. */
struct quad sheet_cell_outline(const struct sheet *sheet, const struct cell_box *box);

/** The outline in the photo of all its columns and rows, roughly. */
struct quad sheet_bounds(const struct sheet *sheet);

/** The node nearest to a place of the photo. */
const struct lattice_node *sheet_nearest(const struct sheet *sheet, struct point at);

/** Whether a place of the photo lies on one of its cards, or a card's frame. */
bool view_on_card(const struct view *view, struct point at);

#endif
