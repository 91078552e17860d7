#ifndef WOAD_QUESTIONS_PHOTO_SHEET_H
#define WOAD_QUESTIONS_PHOTO_SHEET_H

#include "inventory/printed_sheets.h"
#include "location/tag.h"
#include "measurement/measurement.h"

/* What printed sheets' corner marks tell of their photo. Zeroed: it shows none. */
struct photo_sheets {
    struct inventory_sheet items[CHARTS_MAX]; /* those that the inventory knows */
    struct printed_pose poses[CHARTS_MAX];    /* and how each lies */
    int count;
    int unknown[TAGS_MAX]; /* the numbers of those that it does not */
    int unknown_count;
    int unsure;      /* the number of one of which too little is seen; 0: none */
    int unsure_tags; /* how many of its marks */
};

/**
 * Look for corner marks, and take from the inventory what they stand for: names, rows and columns,
 * and, from where they lie, the place and turn of each chart.
 *
 * Shape:   an inventory that is not there knows no sheet.
 * Owns:    the caller releases `sheets` with photo_sheet_release, also on failure.
 * Returns: STATUS_OK; STATUS_NOT_FOUND if sheets are there, but of none enough can be seen;
 *          STATUS_INVENTORY; STATUS_MEMORY.
 */
MUST_USE enum status photo_sheet_find(const struct photo *photo, const char *inventory_path,
                                      struct photo_sheets *sheets, struct error *error);

void photo_sheet_release(struct photo_sheets *sheets);

/** Where one of them lies, as measurement takes it; borrows from `sheets`. */
struct chart_told photo_sheet_told(const struct photo_sheets *sheets, int sheet);

/**
 * At what size one of them was printed, 1 as it was meant, by the card that lies beside it.
 *
 * Units:   `card_mm` the length of the card's six patches, edge to edge.
 */
double photo_sheet_scale(const struct photo_sheets *sheets, int sheet, const struct card_pose *card,
                         double card_mm);

#endif
