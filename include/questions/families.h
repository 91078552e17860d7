#ifndef WOAD_QUESTIONS_FAMILIES_H
#define WOAD_QUESTIONS_FAMILIES_H

/* The families that a range is sorted into. */

#include "questions/measured_range.h"

#define FAMILIES_MAX 64
#define FAMILY_NAME_SIZE 64

struct families {
    char names[FAMILIES_MAX][FAMILY_NAME_SIZE]; /* in the order they follow one another */
    size_t count;
    size_t *of_ink; /* for each ink with a colour, below `count` */
};

/**
 * Sort inks into families: as a file says, the others as measured.
 *
 * Shape:   `path` NULL, or a CSV file with an ink and its family on each line;
 *          families follow one another as the file first names them, then
 *          those measured from reds to neutrals.
 * Owns:    the caller releases `families` with families_release.
 * Returns: STATUS_OK; STATUS_FILE; STATUS_FORMAT; STATUS_INVENTORY for a name
 *          that the inventory does not hold; STATUS_MEMORY.
 */
MUST_USE enum status families_create(const struct measured_range *measured, const char *path,
                                     struct families *families, struct error *error);
void families_release(struct families *families);

#endif
