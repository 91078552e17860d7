#ifndef WOAD_QUESTIONS_COMPARE_PHOTOS_H
#define WOAD_QUESTIONS_COMPARE_PHOTOS_H

#include "files/card.h"
#include "questions/compare_sides.h"

/**
 * Fill the sides by measuring two photos; nothing is stored.
 *
 * Shape:   `names` the file of the ink names, for both sheets; NULL: none.
 * Returns: as 'woad measure'; STATUS_FORMAT if the sheets have other numbers of cells.
 */
MUST_USE enum status compare_photos_measure(char **paths, const struct card *card,
                                            const char *names, struct compare_sides *sides,
                                            struct error *error);

#endif
