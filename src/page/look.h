#ifndef WOAD_PAGE_LOOK_H
#define WOAD_PAGE_LOOK_H

#include "questions/overview.h"

/* The range as it was looked over last: putting many inks in order takes seconds, and is done once
 * for each state of the inventory. Until then they are shown in a rough order. */
#define LOOK_FINELY_MAX 64 /* so many are ordered within the tenth of a second a view may take */

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

/**
 * Put the range in colour order, if that has not been done for this state of the inventory. It
 * takes seconds for a large one; others look at the range meanwhile, in the rough order.
 *
 * Returns: as overview_load.
 */
MUST_USE enum status look_finely(struct look *look, const char *inventory_path,
                                 const char *revision, struct error *error);

#endif
