#ifndef WOAD_PAGE_FIELDS_H
#define WOAD_PAGE_FIELDS_H

#include "base/error.h"

#include <stddef.h>

/* Names and values as forms send them (application/x-www-form-urlencoded). A zeroed struct holds
 * none. */
struct fields {
    char *text; /* decoded; names and values point into it */
    const char **names;
    const char **values;
    size_t count;
};

#define FIELDS_MAX 8192

/**
 * Read fields, "a=1&b=2"; NULL holds none.
 *
 * Owns:    the caller releases `fields` with fields_release, also on failure.
 * Returns: STATUS_OK; STATUS_FORMAT for what is no text or has too many; STATUS_MEMORY.
 */
MUST_USE enum status fields_read(const char *text, size_t length, struct fields *fields,
                                 struct error *error);
void fields_release(struct fields *fields);

/** The first value of a name; empty if it is not there. */
const char *fields_value(const struct fields *fields, const char *name);

#endif
