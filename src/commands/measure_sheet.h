#ifndef WOAD_COMMANDS_MEASURE_SHEET_H
#define WOAD_COMMANDS_MEASURE_SHEET_H

/* Private to src/commands: what a printed sheet's corner marks tell of its photo. */

#include "inventory/printed_sheets.h"
#include "measure.h"

#define MEASURE_SHEET_CHART_SIZE 240

/* A zeroed struct is of no printed sheet. */
struct measure_sheet {
    struct inventory_sheet sheet;
    char chart[MEASURE_SHEET_CHART_SIZE]; /* what the chart is called if nothing else is told */
    struct measure_run run; /* as it was told, with names and place of the sheet; borrows from it */
};

/**
 * Look for corner marks, and take from the inventory what they stand for: names, rows and
 * columns, and, from where they lie, the place and turn of the chart.
 *
 * Shape:   whatever was told on the command line comes first: then nothing is looked for.
 * Owns:    the caller releases `found` with measure_sheet_release, also on failure.
 * Returns: STATUS_OK, with no cells in found->run.names if there is no known sheet;
 *          STATUS_INVENTORY; STATUS_MEMORY.
 */
MUST_USE enum status measure_sheet_find(const struct measure_run *run, const struct photo *photo,
                                        struct measure_sheet *found, FILE *notes,
                                        struct error *error);

void measure_sheet_release(struct measure_sheet *found);

#endif
