#ifndef WOAD_COMMANDS_MEASURE_H
#define WOAD_COMMANDS_MEASURE_H

/* Private to src/commands: what the files of 'woad measure' share. */

#include "commands.h"
#include "files/names.h"
#include "files/photo.h"
#include "inventory/inventory.h"
#include "questions/measured_photo.h"

/* The command line. */
struct measure_settings {
    const char *names;
    const char *card;
    const char *chart;
    struct photo_time at;
    struct photo_time inked_at;
    const char *batch;
    const char *paper;
    double card_mm; /* length of a row of the card's patches; 0: not told */
    struct told_corners card_at;
    struct told_corners chart_at;
    int rows;
    int columns;
    int which; /* of several charts; 0: not told */
    const char *turned;
    const char *check;
    const char *corrected;
    const char *profile;
    bool dry_run;
    bool again;
    struct inventory_fresh fresh;
    bool more; /* say all that was seen, not the verdict alone */
    const char *inventory;
    enum table_format format;
    int jobs;
};

/* What is made ready once and serves all photos. */
struct measure_run {
    struct measure_settings settings;
    struct card card;
    struct names names; /* no cells: none given */
    bool *named;        /* which of the names' cells hold a name; NULL: none given */
    int turns;          /* quarter turns clockwise the sheet lies, as told */
    char inventory_path[INVENTORY_PATH_SIZE];
};

/* What became of one photo. */
struct measure_outcome {
    enum status status;
    int stored;        /* readings; 0 also for a photo that was measured only */
    char reason[2048]; /* why it was refused, the photo's name before it */
};

/**
 * Measure one photo: read, measure, write the pictures asked for, store, print.
 *
 * Shape:   `out` gets the photo's rows without header (CSV), its object (JSON)
 *          or its table; `notes` what is said beside them, faults too. From
 *          before it stores on, interruptions are held back: the caller lets
 *          them through again.
 * Returns: STATUS_OK; else the fault, which has been printed and nothing stored.
 */
MUST_USE enum status measure_photo(const struct measure_run *run, const char *path, FILE *out,
                                   FILE *notes, struct measure_outcome *outcome);

/** Say which printed sheets a photo shows. */
void measure_note_sheets(const struct measured_photo *photo, FILE *notes);

/** Say which of them were printed at another size; `card_mm` as photo_sheet_scale has it, or 0. */
void measure_note_scale(const struct measured_photo *photo, double card_mm, FILE *notes);

/** Say the verdict on one of the photo's charts, counted from 0, and what of it needs a look. */
void measure_note_chart(const struct measure_run *run, const struct measured_photo *measured,
                        int number, FILE *notes);

/**
 * Measure several photos, `jobs` at a time, and print them in their order.
 *
 * Shape:   each in a process of its own, so that whatever befalls one leaves the
 *          others alone. Interrupted, the photos being stored are stored, the
 *          others dropped, and this process ends by the signal.
 * Returns: STATUS_OK; else the first fault in the order of the photos.
 */
MUST_USE enum status measure_all(const struct measure_run *run, int count, char **paths);

/** Say at the end what became of several photos; `outcomes` of those `done` with. */
void measure_note_summary(const struct measure_run *run, const struct measure_outcome *outcomes,
                          int done, int count);

#endif
