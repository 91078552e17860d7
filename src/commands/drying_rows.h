#ifndef WOAD_COMMANDS_DRYING_ROWS_H
#define WOAD_COMMANDS_DRYING_ROWS_H

/* Private to src/commands: what 'woad drying' says, as rows and as sentences. */

#include "commands/drying_load.h"
#include "output/table.h"

#define DRYING_SENTENCE_SIZE 320

/** What the fit of a swatch says: "settled after about 40 min (30 to 55 min); ...". */
void drying_sentence(const struct drying_swatch *swatch, char text[DRYING_SENTENCE_SIZE]);

/** Where a swatch stands: "B3 of spring", with its batch if one was told. */
#define DRYING_PLACE_SIZE 512
void drying_place(const struct drying_swatch *swatch, char text[DRYING_PLACE_SIZE]);

/** A row for each reading, the photos' shared errors taken off. */
MUST_USE enum status drying_rows_of_readings(const struct drying_set *set, struct table *table,
                                             struct error *error);

/** A row for each swatch, the one that moved furthest first. */
MUST_USE enum status drying_rows_of_swatches(const struct drying_set *set, struct table *table,
                                             struct error *error);

#endif
