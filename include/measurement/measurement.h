#ifndef WOAD_MEASUREMENT_MEASUREMENT_H
#define WOAD_MEASUREMENT_MEASUREMENT_H

#include "base/error.h"
#include "correction/correction.h"
#include "files/card.h"
#include "files/photo.h"
#include "location/pose.h"
#include "location/printed_chart.h"
#include "measurement/faults.h"
#include "values/colour.h"

#include <stdbool.h>

/* The rim of each card patch that is not averaged, of its side. */
#define MEASUREMENT_PATCH_INSET 0.15

enum cell_found { CELL_INK, CELL_EMPTY, CELL_UNREADABLE };

enum reading_flag {
    FLAG_CLIPPED = 1,
    FLAG_GLARE = 2,
    FLAG_SHADOW = 4,
    FLAG_UNEVEN = 8,
    FLAG_SMALL = 16,
    FLAG_OUTSIDE = 32,   /* outside the colours the card supports */
    FLAG_UNPROMISED = 64 /* the photo is so spoilt that u95 can't be promised */
};

/* One cell of the chart as measured. */
struct reading {
    int row;    /* from 1 */
    int column; /* from 1 */
    enum cell_found found;
    struct lab lab; /* D50, 2 degree; not set for `unreadable` */
    double u95;     /* delta E 2000 radius that holds the true colour with 95 % probability */
    double covariance_shared[9]; /* Lab 3 x 3: error this photo's readings share */
    double covariance_own[9];    /* Lab 3 x 3: the cell's own */
    double unevenness;           /* median delta E 2000 from a point of the cell to its mean */
    unsigned flags;              /* of enum reading_flag */
    struct quad outline;         /* working pixels */
    struct quad sampled;         /* the area averaged, working pixels */
};

/* One chart of a photo. */
struct measured_chart {
    struct chart_pose pose;
    struct reading *readings; /* rows * columns, row by row; NULL until it is read */
    struct faults faults;     /* what spoils them, the photo's own faults with it */
    bool way_told;            /* its blank cells tell which way up it lies */
};

/* Everything one photo gave. */
struct measurement {
    struct card_pose card;
    struct card_pose second_card; /* where the photo shows two: a check of the first */
    double second_card_error;     /* its mean delta E 2000 through the first one's correction */
    struct measured_chart charts[CHARTS_MAX];
    int chart_count;
    struct correction_quality quality;
    struct correction *correction;
    struct lab paper;     /* the bare paper's colour */
    struct faults faults; /* of the photo, as card and paper show them */
    struct scene *scene;  /* what the cells are read against; of no use outside */
};

/* A chart whose place is told: by hand, or by the marks of a sheet that woad printed. */
struct chart_told {
    struct quad at; /* outer corners of its corner cells, from the chart's first */
    int rows;
    int columns;
    const struct printed_chart *printed; /* NULL: no printed sheet; else it lies as `from_page` */
    struct homography from_page;
};

/* What the user told beforehand. Zeroed: nothing. Corners in working pixels. */
struct measurement_hints {
    const struct card *card;
    bool card_given;
    struct quad card_at;
    struct chart_told told[CHARTS_MAX]; /* then no chart is looked for */
    int told_count;
    int rows; /* 0: find out */
    int columns;
    const bool *named; /* NULL, or rows * columns: the cells the names file fills */
    int chart_number;  /* 0, or which of several charts */
    bool every_chart;  /* all there are, from the left or from above; else one */
    bool turned;       /* how the sheet lies is told, and then: */
    int turns;         /* quarter turns clockwise, 0 to 3 */
    bool card_only;    /* no chart is looked for */
};

/**
 * Find the card and the charts of a photo, and fit light and colour to it, once for all charts.
 *
 * Shape:   `measurement` zeroed before; the charts have no readings yet.
 * Owns:    the caller releases `measurement` with measurement_release, also on
 *          failure: what was found until then stands in it, for a picture. It
 *          borrows the photo's samples until its charts are read.
 * Returns: STATUS_OK; STATUS_NOT_FOUND if card or chart is not found;
 *          STATUS_QUALITY if they are not fit to measure; STATUS_MEMORY.
 */
MUST_USE enum status measurement_find(const struct photo *photo,
                                      const struct measurement_hints *hints,
                                      struct measurement *measurement, struct error *error);

/**
 * Measure a photo of card and charts: find them and read each.
 *
 * Owns, Returns: as these two.
 */
MUST_USE enum status measurement_from_photo(const struct photo *photo,
                                            const struct measurement_hints *hints,
                                            struct measurement *measurement, struct error *error);

void measurement_release(struct measurement *measurement);

#endif
