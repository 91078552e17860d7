#ifndef WOAD_OUTPUT_CHECK_PICTURE_H
#define WOAD_OUTPUT_CHECK_PICTURE_H

#include "base/error.h"
#include "files/names.h"
#include "files/photo.h"
#include "measurement/measurement.h"

/* What a check picture is of. */
struct check_subject {
    const struct photo *photo;
    const struct measurement *measurement;
    int chart; /* which of its charts, from 0 */
    const struct card *card;
    const struct names *names; /* NULL: cells go by their labels */
};

/**
 * Write a picture that shows at a glance whether the photo was read rightly:
 * card and cells outlined, the area averaged, the measured colour beside it,
 * what was left out and why.
 *
 * Shape:   `path` ends in .png.
 * Returns: STATUS_OK; STATUS_USAGE for another ending; STATUS_FILE; STATUS_MEMORY.
 */
MUST_USE enum status check_picture_write(const char *path, const struct check_subject *subject,
                                         struct error *error);

/**
 * Write a picture of a photo that was refused: what was found in it until
 * then, and why that is not enough.
 *
 * Shape:   the measurement as far as it came: `readings` is NULL, rows and columns
 *          are 0, corners are 0 where nothing was found; `message` the refusal's own.
 * Returns: as check_picture_write.
 */
MUST_USE enum status check_picture_write_refusal(const char *path,
                                                 const struct check_subject *subject,
                                                 const char *message, struct error *error);

#endif
