#ifndef WOAD_QUESTIONS_NAMING_FIT_H
#define WOAD_QUESTIONS_NAMING_FIT_H

#include "inventory/inventory.h"

/*
 * Whether the names of a sheet lie on its cells as they should: told by the
 * colours the inventory holds of the same inks, or of the same chart's cells.
 */

/* A sheet as it was read. */
struct naming_sheet {
    const char *path; /* of the photo, for messages */
    const struct measured_chart *chart;
    const struct names *names; /* NULL: the cells hold what the chart's held before */
    const char *chart_name;
};

/**
 * Compare the colours read with those known.
 *
 * Shape:   `told` becomes true where they say that the sheet lies as it was read, and no other way.
 * Returns: STATUS_OK; STATUS_NOT_FOUND if another way fits much better, with both fits;
 *          STATUS_INVENTORY; STATUS_MEMORY.
 */
MUST_USE enum status naming_fit_check(struct inventory *inventory, const struct naming_sheet *sheet,
                                      bool *told, struct error *error);

#endif
