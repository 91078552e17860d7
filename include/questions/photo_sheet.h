#ifndef WOAD_QUESTIONS_PHOTO_SHEET_H
#define WOAD_QUESTIONS_PHOTO_SHEET_H

#include "inventory/printed_sheets.h"
#include "location/tag.h"

/* What a printed sheet's corner marks tell of its photo. */

#define PHOTO_SHEET_CHART_SIZE 240

/* A zeroed struct is of no printed sheet. */
struct photo_sheet {
    struct tags tags;             /* all that the photo shows */
    int number;                   /* of the sheet with the most of them; 0: none is seen */
    struct inventory_sheet sheet; /* what the number stands for; its own is 0 if unknown */
    bool placed;                  /* the chart's place follows from the marks */
    struct printed_pose pose;
    char chart[PHOTO_SHEET_CHART_SIZE]; /* what the chart is called if nothing else is told */
    bool *named;                        /* which of its cells hold a name */
};

/**
 * Look for corner marks, and take from the inventory what they stand for.
 *
 * Shape:   an inventory that is not there knows no sheet.
 * Owns:    the caller releases `found` with photo_sheet_release, also on failure.
 * Returns: STATUS_OK; STATUS_INVENTORY; STATUS_MEMORY.
 */
MUST_USE enum status photo_sheet_find(const struct photo *photo, const char *inventory_path,
                                      struct photo_sheet *found, struct error *error);

void photo_sheet_release(struct photo_sheet *found);

#endif
