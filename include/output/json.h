#ifndef WOAD_OUTPUT_JSON_H
#define WOAD_OUTPUT_JSON_H

#include "base/error.h"
#include "files/photo.h"
#include "measurement/measurement.h"
#include "output/table.h"

#include <stdio.h>

/**
 * Print a table as a JSON array with an object for each row.
 *
 * Returns: STATUS_OK; STATUS_FORMAT for text that is no UTF-8; STATUS_MEMORY.
 */
MUST_USE enum status json_write_table(const struct table *table, FILE *out, struct error *error);

/**
 * Print part of a long table's array, the first part with its opening bracket; json_write_end ends
 * it.
 *
 * Shape:   `first` as long as no row is printed yet.
 * Returns: as json_write_table.
 */
MUST_USE enum status json_write_part(const struct table *table, bool first, FILE *out,
                                     struct error *error);

/** End the array that json_write_part began. */
void json_write_end(bool first, FILE *out);

/* One chart of a measured photo, for print. */
struct json_chart {
    const struct photo *photo;
    const struct measurement *measurement;
    const struct measured_chart *chart; /* of its charts */
    double seconds;                     /* that the photo took */
};

/**
 * Print one chart of a photo as a JSON object: card, chart, light, and the readings in `rows`.
 *
 * Units:   places in stored pixels (upright); the light's fall-off in percent.
 * Returns: as json_write_table.
 */
MUST_USE enum status json_write_measurement(const struct json_chart *measured,
                                            const struct table *rows, FILE *out,
                                            struct error *error);

/**
 * Print how well a card fits as a JSON object, its patches in `rows`; as above.
 *
 * Returns: STATUS_OK; STATUS_FILE; STATUS_MEMORY.
 */
MUST_USE enum status json_write_card(const struct photo *photo,
                                     const struct measurement *measurement,
                                     const struct table *rows, FILE *out, struct error *error);

#endif
