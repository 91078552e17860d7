#ifndef WOAD_QUESTIONS_MEASURED_PHOTO_H
#define WOAD_QUESTIONS_MEASURED_PHOTO_H

#include "files/names.h"
#include "files/photo.h"
#include "inventory/inventory.h"
#include "measurement/measurement.h"
#include "questions/photo_sheet.h"

/*
 * A photo on its way into the inventory: read, measured, stored, with what a
 * person tells of it. Whoever leads it there, command line or page, does so
 * through these functions, and looks at it between them.
 */

/* Corners told by hand, in stored pixels. */
struct told_corners {
    bool given;
    struct quad quad;
};

/**
 * Read corners as they are typed, "X,Y,X,Y,X,Y,X,Y".
 *
 * Shape:   `name` is what the message calls them.
 * Returns: STATUS_OK; STATUS_USAGE if they are none, or do not go once around clockwise.
 */
MUST_USE enum status told_corners_parse(const char *text, const char *name,
                                        struct told_corners *corners, struct error *error);

/* What a person tells of a photo; what is NULL, 0 or PHOTO_TIME_NONE is not told. Borrowed. */
struct photo_told {
    const struct card *card;
    const struct names *names;
    const bool *named;      /* which of the names' cells hold one */
    const char *names_path; /* a sheet of which nothing better is told is called after it */
    const char *chart;
    const char *batch;
    const char *paper;
    struct photo_time at;
    struct photo_time inked_at;
    struct inventory_fresh fresh; /* a chart's name that is not told is no slip */
    struct told_corners card_at;
    struct told_corners chart_at;
    int rows;
    int columns;
    int which;   /* of several charts */
    bool turned; /* how the sheet lies is told, and then: */
    int turns;   /* quarter turns clockwise, 0 to 3 */
    bool again;  /* a photo that is stored is wanted once more */
};

struct measured_photo {
    struct photo_told told;
    struct photo photo;
    struct measurement measurement;
    struct photo_sheets sheets; /* where any lie there, its charts are these, in their order */
    const char *inventory_path;
    bool way_unknown; /* names are told, and nothing tells which way up they lie */
};

/**
 * Read a photo, and look for a printed sheet's marks unless names or places are told.
 *
 * Shape:   `inventory_path` is where printed sheets are kept.
 * Owns:    the caller releases `measured` with measured_photo_release, also on
 *          failure: then what was found until then stands in it. What is told is borrowed until
 * then. Returns: STATUS_OK; as photo_read and photo_sheet_find; STATUS_USAGE if it was taken before
 * its swatches were made.
 */
MUST_USE enum status measured_photo_read(const char *path, const struct photo_told *told,
                                         const char *inventory_path,
                                         struct measured_photo *measured, struct error *error);

/** The names of one of its charts, from 0; NULL: none are known. */
const struct names *measured_photo_names(const struct measured_photo *measured, int chart);

/** Measure a photo that was read, and look whether its names lie as they should. Returns: as
 * measurement_from_photo and naming_fit_check. */
MUST_USE enum status measured_photo_measure(struct measured_photo *measured, struct error *error);

/* What became of one of its charts. */
#define MEASURED_PHOTO_CHART_SIZE 256
struct measured_photo_stored {
    char chart[MEASURED_PHOTO_CHART_SIZE]; /* under which name */
    struct inventory_outcome outcome;
};

/**
 * Store all readings of a photo that was measured, or none.
 *
 * Shape:   `stored` gets one for each chart of the measurement.
 * Returns: as inventory_open and inventory_store.
 */
MUST_USE enum status measured_photo_store(const struct measured_photo *measured,
                                          const char *inventory_path,
                                          struct measured_photo_stored stored[CHARTS_MAX],
                                          struct error *error);

void measured_photo_release(struct measured_photo *measured);

#endif
