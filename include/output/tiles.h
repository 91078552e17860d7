#ifndef WOAD_OUTPUT_TILES_H
#define WOAD_OUTPUT_TILES_H

#include "base/error.h"
#include "values/colour.h"

#include <stdbool.h>
#include <stddef.h>

/* An ink as a tile of its colour with its name below. */
struct tile {
    const char
        *heading; /* begins a row of its own under these words; NULL: stands beside the last */
    const char *name;
    struct lab lab;
    bool marked; /* with a dot: the one the row is about */
};

/**
 * Draw tiles in rows, as a PNG picture.
 *
 * Returns: STATUS_OK; STATUS_FILE; STATUS_MEMORY.
 */
MUST_USE enum status tiles_write(const char *path, const struct tile *tiles, size_t count,
                                 struct error *error);

#endif
