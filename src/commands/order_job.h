#ifndef WOAD_COMMANDS_ORDER_JOB_H
#define WOAD_COMMANDS_ORDER_JOB_H

/* Private to src/commands: what the files of 'woad order' share. */

#include "analysis/order.h"
#include "commands.h"
#include "questions/families.h"
#include "questions/measured_range.h"
#include "output/order_rows.h"
#include "questions/name_sheets.h"

struct order_settings {
    const char *families;
    const char *sheet;
    const char *slot;
    const char *picture;
    const char *write;
    const char *inventory;
    enum table_format format;
};

/* All that an order is made from. */
struct order_job {
    const struct order_settings *settings;
    struct measured_range measured;
    struct families families;
    struct name_sheets today; /* none: not told */
    struct order_task task;
};

/**
 * Slot one ink into today's sheets, print what changes, and write them.
 *
 * Returns: STATUS_OK, or what reading, printing or writing returns.
 */
MUST_USE enum status order_job_slot(struct order_job *job, struct error *error);

/** A place on a sheet as it is printed; it points into `place`. */
struct order_cell order_job_cell(const struct name_sheets_place *place);

#endif
