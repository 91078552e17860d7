#ifndef WOAD_LOCATION_PRINTED_CHART_H
#define WOAD_LOCATION_PRINTED_CHART_H

#include "base/error.h"
#include "location/tag.h"
#include "values/geometry.h"

#include <stdbool.h>

/*
 * Where things stand on a chart that woad printed: it is drawn by this and found
 * again by it. Millimetres of the page, x right, y down.
 *
 *     tag 0   title, date          tag 1
 *     |       cells with names         |  | 100 mm
 *     |       (a place for the card)   |
 *     tag 3   greys, 100 mm        tag 2
 */
struct printed_chart {
    struct point page_mm;
    int rows;
    int columns;
    struct point first_mm; /* upper left corner of the first cell's frame */
    struct point cell_mm;  /* a frame's width and height */
    struct point pitch_mm; /* from frame to frame */
    struct point card_mm;  /* the place kept for the card: width and height; 0: none */
};

/* What the printer of a chart asks for; what is 0 is chosen. */
struct printed_wish {
    struct point page_mm;
    int rows;
    int columns;
    double cell_mm; /* a frame's side, where rows or columns are not told */
    double flap_mm; /* kept free below each row's names */
    struct point card_mm;
};

#define PRINTED_MARGIN_MM 8.0 /* common practice, no source: what desktop printers leave bare */
#define PRINTED_TAG_MM 14.0   /* all modules: the ring is 42 pixels in a 2-megapixel photo of A4 */
#define PRINTED_NAME_MM 7.0   /* below each cell, for two lines of letters */
#define PRINTED_GAP_MM 4.0    /* at least, between frames: bare paper shows the light */
#define PRINTED_CELL_MM 22.0  /* a frame's side, if not told */
#define PRINTED_CELL_MM_MIN 10.0

/**
 * Lay a chart out: as many cells as told, or as many as fit.
 *
 * Returns: STATUS_OK; STATUS_USAGE, with what would fit, if it can't be done.
 */
MUST_USE enum status printed_chart_lay_out(const struct printed_wish *wish,
                                           struct printed_chart *chart, struct error *error);

/** A cell's frame; row and column from 1. */
struct quad printed_chart_cell(const struct printed_chart *chart, int row, int column);

/** The upper left corner of a corner's tag, all modules. */
struct point printed_chart_tag(const struct printed_chart *chart, int corner);

/** The upper left corner of the place kept for the card. */
struct point printed_chart_card(const struct printed_chart *chart);

/* Two greys are printed twice, within dark and within white: read against each other they show
 * whether the camera worked on parts of the picture apart. */
#define PRINTED_GREYS 2

/** The field within dark (a field of PRINTED_GREYS greys side by side) or within white. */
struct quad printed_chart_grey_field(const struct printed_chart *chart, bool within_dark);

/** One of its greys, from 0, the darker first. */
struct quad printed_chart_grey(const struct printed_chart *chart, bool within_dark, int grey);

/** What a tag's ring encloses, as struct tag has it in the photo. */
struct quad printed_chart_ring(const struct printed_chart *chart, int corner);

/* How a printed chart lies in a photo. */
struct printed_pose {
    struct homography from_page; /* millimetres to working pixels */
    struct quad corners;         /* outer corners of the corner cells, from the chart's first */
    int tags;                    /* how many of its four tags were seen */
    bool sure;                   /* each cell is told from its neighbours */
    double scale;                /* pixels a millimetre at the chart's middle */
};

/**
 * Find how a sheet lies by those of its tags that were seen: by three it is sure, by two once
 * printed_chart_settle found inked cells; from one a far cell would be guessed by cells' widths
 * off.
 *
 * Returns: whether one of its tags is there.
 */
bool printed_chart_find(const struct printed_chart *chart, const struct tags *tags, int sheet,
                        struct printed_pose *pose);

/** Put what follows from the map of a pose, its corners and its scale, in step with it. */
void printed_chart_pose_update(const struct printed_chart *chart, struct printed_pose *pose);

/**
 * Settle by the inked cells what a sheet's marks leave open where two or three were seen.
 *
 * Shape:   `pose` as printed_chart_find left it; it stays so where too few cells are inked.
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status printed_chart_settle(const struct photo *photo,
                                          const struct printed_chart *chart,
                                          const struct tags *tags, int sheet,
                                          struct printed_pose *pose, struct error *error);

/**
 * Lay out a printed chart's cells in the photo: as printed, and as the paper bends, which inked
 * cells tell.
 *
 * Shape:   `outline` a quad a cell, row by row.
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status printed_chart_place(const struct photo *photo,
                                         const struct printed_chart *chart,
                                         const struct homography *from_page, struct quad *outline,
                                         struct error *error);

/** A quad of the page as it lies in the photo. */
struct quad printed_chart_seen(const struct homography *from_page, const struct quad *on_page);

#endif
