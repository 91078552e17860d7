#ifndef WOAD_OUTPUT_DRYING_PLOT_H
#define WOAD_OUTPUT_DRYING_PLOT_H

#include "analysis/drying.h"
#include "analysis/observation.h"
#include "base/error.h"

/* What one picture of a drying swatch shows. */
struct drying_plot {
    const char *title;                  /* the ink and where it stands */
    const char *subtitle;               /* what the fit says */
    const struct observation *readings; /* by time, as fitted */
    size_t count;
    const struct drying *drying;
};

/**
 * Write a picture of how a swatch dried: its colour at each reading, lightness,
 * chroma and hue over time with their 95 % intervals, and the fitted curve.
 *
 * Shape:   `path` names an SVG file; at least one reading.
 * Returns: STATUS_OK; STATUS_FILE; STATUS_MEMORY.
 */
MUST_USE enum status drying_plot_write(const char *path, const struct drying_plot *plot,
                                       struct error *error);

/* A length of time for people: "40 min", "3.5 h", "2.1 days". */
#define DURATION_TEXT_SIZE 24
void drying_format_duration(double seconds, char text[DURATION_TEXT_SIZE]);

#endif
