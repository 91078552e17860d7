#ifndef WOAD_LOCATION_CARD_POSE_H
#define WOAD_LOCATION_CARD_POSE_H

#include "base/error.h"
#include "files/card.h"
#include "files/photo.h"
#include "location/pose.h"
#include "vision/lattice.h"

/**
 * Find the card among lattices by its colours.
 *
 * Every window of the card's shape in every lattice is tried in four turns, and mirrored,
 * against the card's values under an unknown light; position plays no part.
 * Where two cards lie in the photo the better is `pose`; `second` is left as it
 * was, zeroed, where there is one only.
 *
 * Returns: STATUS_OK; STATUS_NOT_FOUND with the best that was seen, also for a
 *          mirrored card; STATUS_MEMORY.
 */
MUST_USE enum status card_pose_find(const struct photo *photo, const struct lattices *lattices,
                                    const struct card *card, struct card_pose *pose,
                                    struct card_pose *second, struct error *error);

/**
 * Place the card by its four corners, given by hand in any turn.
 *
 * Shape:   `corners` the outer corners of the corner patches, clockwise in the photo.
 * Returns: STATUS_OK; STATUS_NOT_FOUND if the colours there do not fit the card.
 */
MUST_USE enum status card_pose_from_corners(const struct photo *photo, const struct quad *corners,
                                            const struct card *card, struct card_pose *pose,
                                            struct error *error);

#endif
