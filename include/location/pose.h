#ifndef WOAD_LOCATION_POSE_H
#define WOAD_LOCATION_POSE_H

#include "files/card.h"
#include "values/geometry.h"

#include <stdbool.h>

#define CHART_ROWS_MAX 40
#define CHART_COLUMNS_MAX 40
#define CHART_CELLS_MAX 1000
#define CHARTS_MAX 8 /* in one photo */

/* Where the card lies. All points in working pixels. */
struct card_pose {
    bool found;
    struct card_shape shape;
    struct quad
        corners; /* outer corners of the corner patches, from the first patch's, clockwise */
    struct quad patch[CARD_PATCHES_MAX]; /* the outline of each patch */
    bool hidden[CARD_PATCHES_MAX];       /* colour does not fit the card: covered, glare, damaged */
    bool outside[CARD_PATCHES_MAX];      /* hidden, since the photo does not reach so far */
    int turns;        /* quarter turns clockwise from upright (first patch top left): 0 to 3 */
    bool given;       /* by hand, with --card-at */
    double misfit;    /* mean delta E of the rough colour fit that recognised it */
    double next_best; /* the same for the best other turn, for confidence */
};

/* Where the chart lies: rows x columns of cells, each with its outline. */
struct chart_pose {
    int rows;
    int columns;
    struct quad
        corners; /* outer corners of the corner cells, clockwise from the chart's top left */
    struct quad *outline; /* rows * columns quads, row by row */
    bool *seen;           /* the cell's own edges were found; false: placed by the lattice */
    double *corner_error; /* and its outline lies on them this well (location/outline.h) */
    bool given;           /* by hand, with --chart-at */
    int charts;           /* how many charts the photo shows */
    int number;           /* which of them this is, from the left or from above; 1 is the first */
};

/* The charts of a photo that were asked for. */
struct chart_poses {
    struct chart_pose items[CHARTS_MAX];
    int count;
};

void chart_pose_release(struct chart_pose *pose);

#endif
