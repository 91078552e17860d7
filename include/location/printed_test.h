#ifndef WOAD_LOCATION_PRINTED_TEST_H
#define WOAD_LOCATION_PRINTED_TEST_H

#include "base/error.h"
#include "files/photo.h"
#include "values/geometry.h"

/*
 * A printer's test page: a frame to measure, and a chart's corner marks to
 * photograph. Millimetres from the paper's upper left corner. What is drawn at
 * p comes out at scale * p + shift.
 */
#define PRINTED_TEST_SHEET 0      /* the number its tags tell; charts count from 1 */
#define PRINTED_TEST_LEFT_MM 30.0 /* of the frame: clear of the tags */
#define PRINTED_TEST_TOP_MM 30.0
#define PRINTED_TEST_WIDTH_MM 100.0 /* the largest round ones that A5 holds */
#define PRINTED_TEST_HEIGHT_MM 150.0

struct printed_test {
    struct point scale;
    struct point shift_mm;
};

/** What a printer does, by where the frame came out on the paper, and how large. */
struct printed_test printed_test_measured(struct point corner_mm, struct point size_mm);

/**
 * Read it from a photo of the test page on a darker ground, by the paper's edges and the marks.
 *
 * Units:   `page_mm` the paper's true size.
 * Returns: STATUS_OK; STATUS_NOT_FOUND if no mark of a test page is seen; STATUS_QUALITY if fewer
 *          than four are, the paper's edges are not, or the two do not agree; STATUS_MEMORY.
 */
MUST_USE enum status printed_test_read(const struct photo *photo, struct point page_mm,
                                       struct printed_test *test, struct error *error);

#endif
