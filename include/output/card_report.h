#ifndef WOAD_OUTPUT_CARD_REPORT_H
#define WOAD_OUTPUT_CARD_REPORT_H

#include "base/error.h"
#include "files/card.h"
#include "measurement/measurement.h"

/* What a fitted card says of photo, light and card, in plain words. */
#define CARD_REPORT_LINES_MAX 20
#define CARD_REPORT_LINE_SIZE 600

struct card_report {
    int count;
    char line[CARD_REPORT_LINES_MAX][CARD_REPORT_LINE_SIZE];
};

/**
 * What comes of how well the card's colours can be told from one another: the light is good, fair
 * or poor, or the card is of another edition than was told.
 */
enum card_verdict { CARD_LIGHT_GOOD, CARD_LIGHT_FAIR, CARD_LIGHT_POOR, CARD_OF_OTHER_EDITION };
enum card_verdict card_report_verdict(const struct correction_quality *quality);

/** Fill the report: the verdict on the photo, patches left out, patches that stand apart, the
 * light, what to do. */
void card_report_make(const struct card *card, const struct measurement *measurement,
                      struct card_report *report);

/**
 * Draw each patch as the card's table has it around the colour measured, with
 * its error, and the report below.
 *
 * Shape:   `path` ends in .png.
 * Returns: STATUS_OK; STATUS_FILE; STATUS_MEMORY.
 */
MUST_USE enum status card_report_draw(const char *path, const struct card *card,
                                      const struct measurement *measurement,
                                      const struct card_report *report, struct error *error);

#endif
