#ifndef WOAD_PAGE_LOOK_H
#define WOAD_PAGE_LOOK_H

#include "questions/overview.h"

/* The range as it was looked over last: putting many inks in order takes seconds, and is done once
 * for each state of the inventory. */
struct look; /* opaque: its members are in look.c */

/**
 * Nothing has been looked over yet.
 *
 * Owns:    the caller releases it with look_release.
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status look_create(struct look **look, struct error *error);
void look_release(struct look *look);

/**
 * Look over the range, anew if the inventory is in another state than last time.
 *
 * Owns:    `overview` is borrowed until look_away, which the caller calls after success; others
 * wait until then. Returns: as overview_load.
 */
MUST_USE enum status look_at(struct look *look, const char *inventory_path, const char *revision,
                             struct overview **overview, struct error *error);
void look_away(struct look *look);

#endif
