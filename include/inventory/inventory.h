#ifndef WOAD_INVENTORY_INVENTORY_H
#define WOAD_INVENTORY_INVENTORY_H

#include "base/error.h"
#include "files/names.h"
#include "files/photo.h"
#include "measurement/measurement.h"
#include "values/colour.h"

#include <stdbool.h>
#include <stddef.h>

/*
 * The inventory keeps every reading ever taken in one SQLite file. Readings
 * are added, never changed; a photo is stored whole or not at all; several
 * processes may write at once, and wait for one another.
 */
struct inventory; /* opaque: its members are in inventory/database.h */

#define INVENTORY_PATH_SIZE 1024

enum inventory_mode {
    INVENTORY_READ,  /* what is there */
    INVENTORY_WRITE, /* what is there, and it can be written */
    INVENTORY_CREATE /* as INVENTORY_WRITE; made with its folders where there is none */
};

/**
 * Where the inventory lies: `given` (NULL: none), else $WOAD_INVENTORY, else
 * woad/inventory.db in $XDG_DATA_HOME, else in ~/.local/share.
 *
 * Returns: STATUS_OK; STATUS_USAGE if no place is known or its path is too long.
 */
MUST_USE enum status inventory_location(const char *given, char path[INVENTORY_PATH_SIZE],
                                        struct error *error);

/**
 * Open an inventory and bring its tables up to date.
 *
 * Owns:    the caller closes it with inventory_close.
 * Returns: STATUS_OK; STATUS_INVENTORY if there is none, or it can't be opened
 *          or written, or it is no inventory, or a newer woad made it; then it
 *          stands unchanged. STATUS_MEMORY.
 */
MUST_USE enum status inventory_open(const char *path, enum inventory_mode mode,
                                    struct inventory **inventory, struct error *error);

/** Whether a file is an inventory or another SQLite file. */
bool inventory_is_one(const char *path);

void inventory_close(struct inventory *inventory);

/**
 * Tell beforehand whether photos could be stored, without making or changing anything.
 *
 * Returns: STATUS_OK; STATUS_INVENTORY and STATUS_MEMORY as inventory_open.
 */
MUST_USE enum status inventory_check(const char *path, struct error *error);

/* --- writing -------------------------------------------------------------------------------- */

/* Names that are meant to be new, though they look like slips of known ones. */
struct inventory_fresh {
    bool inks;
    bool chart;
    bool batch;
};

/* One measured photo on its way in. */
struct inventory_entry {
    const struct photo *photo;
    const struct measurement *measurement;
    const struct measured_chart *measured; /* which of its charts */
    const struct names *names;             /* NULL: not told */
    const char *card;                      /* the card's name */
    const char *chart;          /* the sheet's name: the same again means the same swatches */
    const char *batch;          /* NULL: not told */
    const char *paper;          /* NULL: not told */
    struct photo_time inked_at; /* for cells whose name gives none; PHOTO_TIME_NONE: not told */
    struct inventory_fresh fresh;
    bool again;   /* add it even if the same photo is kept already */
    bool several; /* the photo shows more charts: it may be kept already, with another one */
};

/* A cell that was named otherwise than before. */
struct inventory_changed_cell {
    int row, column;
    char before[NAMES_INK_BYTES_MAX + 1];
    char now[NAMES_INK_BYTES_MAX + 1];
};

/* What came of it, for the note to the user. */
#define INVENTORY_CHANGED_LISTED 4
struct inventory_outcome {
    int readings;
    bool chart_known; /* the chart was in the inventory before */
    int times_before; /* how often the same photo was measured before */
    int unnamed;      /* readings of swatches that wait for their names */
    int changed;      /* cells that hold another ink than before, the first of them listed */
    struct inventory_changed_cell changed_cells[INVENTORY_CHANGED_LISTED];
};

/**
 * Store all readings of a photo, an entry for each chart in it, in one transaction.
 *
 * A swatch is what one cell of a chart holds. A batch, paper or inking time
 * that is told and differs from the swatch last kept for the cell begins a new
 * swatch there; one that is not told is taken to be unchanged. A time of inking that
 * is told late, of a swatch read after it, is that swatch's. Names are taken
 * as inventory/known_names.h says; without names a cell holds the ink it held
 * before, and where none is known its swatch waits for its name.
 *
 * Returns: STATUS_OK; STATUS_INVENTORY, and then nothing was stored: the same
 *          photo is there already, the chart is kept with another number of
 *          cells, a new name looks like a slip of a known one, or the file
 *          can't be written.
 */
MUST_USE enum status inventory_store(struct inventory *inventory,
                                     const struct inventory_entry *entries, int count,
                                     struct inventory_outcome *outcomes, struct error *error);

/* --- reading -------------------------------------------------------------------------------- */

/* An ink and its latest reading, by the time its photo was taken. */
struct inventory_ink {
    char *name;
    int swatches;
    int readings;  /* in which ink was found */
    bool measured; /* false: no reading yet; then what follows is not set */
    struct lab lab;
    double u95;
    unsigned flags;
    struct photo_time taken;
};

struct inventory_inks {
    struct inventory_ink *items; /* by name */
    size_t count;
};

/**
 * Read the inks, each with its latest reading.
 *
 * Returns: STATUS_OK; STATUS_INVENTORY; STATUS_MEMORY.
 */
MUST_USE enum status inventory_read_inks(struct inventory *inventory, struct inventory_inks *inks,
                                         struct error *error);

/**
 * Read the inks' names alone, which is quicker; nothing else of them is set.
 *
 * Returns: STATUS_OK; STATUS_INVENTORY; STATUS_MEMORY.
 */
MUST_USE enum status inventory_read_names(struct inventory *inventory, struct inventory_inks *inks,
                                          struct error *error);
void inventory_inks_release(struct inventory_inks *inks);

/* One reading with all that is known about it; texts are NULL where nothing is. */
struct inventory_reading {
    long long id;
    long long photo_id;  /* equal: taken from the same photo, and most of the error is shared */
    long long swatch_id; /* 0: a cell left blank; without an ink it waits for its name */
    long long batch_id;  /* 0: of no batch that was told */
    char *ink;
    char *batch;
    char *chart;
    char *paper;
    char *photo; /* its path when it was measured */
    char *hash;
    char *card;
    char *method;
    int take;        /* 1: the photo's first measurement; 2 and more: measured again */
    bool superseded; /* a later measurement of the photo read the swatch again */
    struct photo_time taken;
    struct photo_time inked_at;
    struct lab photo_paper; /* the bare paper in that photo */
    struct reading reading; /* outline and sampled are not kept */
};

struct inventory_readings {
    struct inventory_reading *items; /* by the time taken; those of a photo together */
    size_t count;
};

/**
 * Read the readings of one ink, or of all cells (`ink` NULL).
 *
 * Returns: STATUS_OK, with no items for an ink that is not there; STATUS_INVENTORY; STATUS_MEMORY.
 */
MUST_USE enum status inventory_read_readings(struct inventory *inventory, const char *ink,
                                             struct inventory_readings *readings,
                                             struct error *error);
void inventory_readings_release(struct inventory_readings *readings);
void inventory_reading_release(struct inventory_reading *reading);

/* Whoever takes readings one by one; a reading is gone when `take` returns. */
struct inventory_taker {
    enum status (*take)(void *context, const struct inventory_reading *reading,
                        struct error *error);
    void *context;
};

/**
 * Give every reading in turn, as inventory_read_readings orders them, without keeping them.
 *
 * Returns: STATUS_OK; STATUS_INVENTORY; STATUS_MEMORY; what `take` returns, and then it ends.
 */
MUST_USE enum status inventory_each_reading(struct inventory *inventory,
                                            const struct inventory_taker *taker,
                                            struct error *error);

/* The colour of a cell of a chart, as last read with ink. */
struct inventory_cell {
    int row, column; /* from 1 */
    struct lab lab;
};

struct inventory_cells {
    struct inventory_cell *items;
    size_t count;
};

/**
 * Read the colours last read of a chart's cells.
 *
 * Owns:    the caller releases `cells` with inventory_cells_release.
 * Returns: STATUS_OK, with none for a chart that is not there; STATUS_INVENTORY; STATUS_MEMORY.
 */
MUST_USE enum status inventory_read_cells(struct inventory *inventory, const char *chart,
                                          struct inventory_cells *cells, struct error *error);
void inventory_cells_release(struct inventory_cells *cells);

/* --- readings from elsewhere ---------------------------------------------------------------- */

/* Readings on their way in, all in one transaction. */
struct inventory_adding {
    struct inventory *inventory;
    struct inventory_fresh fresh;
    int readings; /* added until now */
    int photos;
    /* the rest is private to add.c */
    const struct inventory_reading *kept;
    long long chart_id;
    long long photo_id;
    long long newest_ink, newest_chart, newest_photo; /* that were there before */
    long long checked_ink; /* the newest that is known to be no slip of one of these */
};

/**
 * Take the right to add readings.
 *
 * Owns:    the caller ends what was begun with inventory_add_end, also on failure.
 * Returns: STATUS_OK; STATUS_INVENTORY; STATUS_MEMORY.
 */
MUST_USE enum status inventory_add_begin(struct inventory *inventory,
                                         const struct inventory_fresh *fresh,
                                         struct inventory_adding *adding, struct error *error);

/**
 * Add one reading as inventory_each_reading gives it.
 *
 * Shape:   its texts may be NULL but chart, photo and hash; photos are
 *          told apart by hash and take; ids are not read. A chart that is new
 *          has as many rows and columns as its cells need.
 *          Names are taken as inventory/known_names.h says; charts and batches
 *          as written. Of names that look like slips, only those of inks that
 *          were there before are looked at.
 * Returns: STATUS_OK; STATUS_INVENTORY, and then the caller ends it: a photo is
 *          there already, a chart is kept with fewer cells, a new ink's name
 *          looks like a slip, or the file can't be written.
 */
MUST_USE enum status inventory_add(struct inventory_adding *adding,
                                   const struct inventory_reading *kept, struct error *error);

/**
 * Keep what was added if `status` is STATUS_OK, else nothing of it.
 *
 * Returns: `status`; STATUS_INVENTORY if it was STATUS_OK and can't be committed.
 */
MUST_USE enum status inventory_add_end(struct inventory_adding *adding, enum status status,
                                       struct error *error);

#endif
