#ifndef WOAD_COMMANDS_COMPARE_H
#define WOAD_COMMANDS_COMPARE_H

/* Private to src/commands: what the files of 'woad compare' share. */

#include "analysis/batches.h"
#include "commands.h"
#include "files/card.h"
#include "inventory/inventory.h"

struct compare_settings {
    struct option_words batch; /* two */
    struct option_words chart; /* two */
    const char *names;
    const char *card;
    double tolerance;
    double spread; /* 0: not told */
    double plan;   /* NAN: not asked */
    const char *inventory;
    enum table_format format;
};

#define COMPARE_NAME_SIZE 160

/* One ink of either side, with a reading for each of its swatches. */
struct compare_ink {
    char name[COMPARE_NAME_SIZE];
    struct observation *swatches[2]; /* before, after */
    size_t count[2];
    const char *paper[2]; /* borrowed; NULL: not told */
    bool batches_mixed;   /* one side holds several batches of it */
    bool wet_left_out;
    bool apart_left_out; /* a photo has both sides: swatches in other photos do not count */
    bool age_unknown;
    bool asked;
};

/* The two sides. */
struct compare_sides {
    char name[2][COMPARE_NAME_SIZE]; /* "batch 7", "chart spring", a photo's path */
    bool measured;                   /* from photos: of no known age */
    struct compare_ink *inks;
    size_t count;
    size_t capacity;
};

void compare_release(struct compare_sides *sides);

/** Whether the two sides of an ink were made on different papers, as far as that was told. */
bool compare_papers_differ(const struct compare_ink *ink);

/** Find an ink of the sides, or add it. NULL: STATUS_MEMORY. */
MUST_USE struct compare_ink *compare_ink_at(struct compare_sides *sides, const char *name,
                                            struct error *error);

/** Add a swatch's reading to one side of an ink. */
MUST_USE enum status compare_add(struct compare_ink *ink, int side,
                                 const struct observation *observation, struct error *error);

/** List the batches, or the charts, that some readings are of: "6, 7, 8". */
#define COMPARE_LIST_SIZE 400
void compare_list(const struct inventory_readings *all, bool batches, char list[COMPARE_LIST_SIZE]);

/**
 * Fill the sides from the inventory: two batches or two charts, of one ink or of all.
 *
 * Owns:    the caller releases `sides` with compare_release; papers point into `all`.
 * Returns: STATUS_OK; STATUS_INVENTORY if a batch, a chart or the ink is not there; STATUS_MEMORY.
 */
MUST_USE enum status compare_from_inventory(const struct inventory_readings *all, const char *ink,
                                            const struct compare_settings *settings,
                                            struct compare_sides *sides, struct error *error);

/**
 * Fill the sides by measuring two photos; nothing is stored.
 *
 * Returns: as 'woad measure'; STATUS_FORMAT if the sheets have other numbers of cells.
 */
MUST_USE enum status compare_from_photos(char **paths, const struct compare_settings *settings,
                                         struct compare_sides *sides, struct error *error);

/** The rows of the verdicts. */
MUST_USE enum status compare_rows(const struct compare_sides *sides, const struct batches *batches,
                                  struct table *table, struct error *error);

/* How many swatches show a difference, if the spread is `known` so or so. */
struct compare_plan {
    double delta_e, spread;
    const char *known;
    int swatches;
    double power;
};

/** Add a row of a plan. */
void compare_rows_plan(const struct compare_plan *plan, struct table *table);

/** Say beside the rows what they rest on. */
void compare_note(const struct compare_sides *sides, const struct batches *batches,
                  const struct compare_settings *settings, FILE *out);

#endif
