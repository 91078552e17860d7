#ifndef WOAD_OUTPUT_ROWS_H
#define WOAD_OUTPUT_ROWS_H

#include "analysis/repeat.h"
#include "base/error.h"
#include "files/card.h"
#include "files/names.h"
#include "inventory/inventory.h"
#include "measurement/measurement.h"
#include "output/table.h"
#include "questions/range_load.h"

/*
 * The rows each command prints. Each of these functions fills a zeroed table,
 * which the caller releases, and returns STATUS_OK or STATUS_MEMORY.
 */

/**
 * The cells of one chart of a photo, row by row; `names` NULL: by their labels.
 *
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status rows_of_measurement(const char *photo, const struct measured_chart *chart,
                                         const struct names *names, struct table *table,
                                         struct error *error);

/**
 * The inks of the inventory with their colours.
 *
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status rows_of_inks(const struct range *range, struct table *table,
                                  struct error *error);

/**
 * The readings of one ink, oldest first, and which of them went into its colour.
 *
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status rows_of_ink_readings(const struct inventory_readings *readings,
                                          const struct range *range, struct table *table,
                                          struct error *error);

/** The columns of an export: readings with everything that is known about them. */
void rows_of_export_start(struct table *table);

/**
 * One of its rows.
 *
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status rows_of_export_add(const struct inventory_reading *reading,
                                        struct table *table, struct error *error);

/**
 * How well a card fits, patch by patch.
 *
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status rows_of_card_fit(const struct card *card,
                                      const struct measurement *measurement, struct table *table,
                                      struct error *error);

/**
 * One of the cards known.
 *
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status rows_of_card(const char *edition, const struct card *card, struct table *table,
                                  struct error *error);

/**
 * What several photos of one sheet say of its cells.
 *
 * Shape:   `cells` are row by row, `columns` a row; `names` NULL: by their labels.
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status rows_of_repeat(const struct names *names, int columns,
                                    const struct repeat_cell *cells, size_t count,
                                    struct table *table, struct error *error);

#endif
