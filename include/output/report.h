#ifndef WOAD_OUTPUT_REPORT_H
#define WOAD_OUTPUT_REPORT_H

#include "base/error.h"
#include "questions/overview.h"

/* What a report says of itself, borrowed. */
struct report_about {
    const char *title;
    const char *date;
};

/**
 * Write the range as one self-contained HTML file: a wall of swatches in colour order, and each
 * ink with its numbers, their doubt in words, and what could stand in for it.
 *
 * Returns: STATUS_OK; STATUS_FILE, and then no file of that name is left half written.
 */
MUST_USE enum status report_write(const char *path, const struct overview *overview,
                                  const struct report_about *about, struct error *error);

#endif
