#include "inventory/revision.h"

#include "database.h"

#include <stdio.h>

/* Each change adds a row to one of these, or marks one as taken back. */
static const char *const marks[] = {"SELECT max(id) FROM photo",
                                    "SELECT max(id) FROM combination",
                                    "SELECT max(strip) FROM blend",
                                    "SELECT max(id) FROM change",
                                    "SELECT count(undone_utc_s) FROM change",
                                    "SELECT max(number) FROM sheet"};

enum status inventory_revision(struct inventory *inventory, char revision[INVENTORY_REVISION_SIZE],
                               struct error *error)
{
    size_t length = 0;
    enum status status = STATUS_OK;

    for (size_t i = 0; !status && i < sizeof marks / sizeof *marks; i++) {
        const struct query query = {marks[i], NULL, 0};
        long long mark = 0;

        status = database_lookup(inventory, &query, &mark, error);
        length += (size_t)snprintf(revision + length, INVENTORY_REVISION_SIZE - length, "%s%lld",
                                   i ? "-" : "", mark);
    }
    return status;
}
