#ifndef WOAD_MEASUREMENT_SURFACES_H
#define WOAD_MEASUREMENT_SURFACES_H

#include "paper.h"

/* All that shows how the light falls: bare paper of the sheet, and the desk. */
struct surfaces {
    struct paper paper;
    struct area_sample *desk;
    size_t desk_count;
};

/**
 * Find bare paper and desk all over the photo: all that its charts have in common.
 *
 * Owns:    the caller releases `surfaces` with surfaces_release, also on failure.
 * Returns: STATUS_OK; STATUS_MEMORY.
 */
MUST_USE enum status surfaces_find(const struct photo *photo, const struct card_pose *card,
                                   const struct chart_poses *charts, struct surfaces *surfaces,
                                   struct error *error);
void surfaces_release(struct surfaces *surfaces);

#endif
