#ifndef SCENE_INKS_H
#define SCENE_INKS_H

#include "spectrum.h"

/*
 * The ink range of the Thistlewick Allotment Society, which stamps its seed
 * packets with inks of its own. Everything here is invented.
 */

enum paper { PAPER_WHITE, PAPER_CREAM, PAPER_GREY, PAPERS };

enum { INK_NAME_SIZE = 40 };

/**
 * How many inks the range has. The first half stand in colour order, greys
 * last; the second half are the same inks thinned to half their strength.
 */
int inks_count(void);

/** How many of them are not thinned. */
int inks_full_count(void);

void ink_name(int ink, char name[INK_NAME_SIZE]);

struct spectrum paper_reflectance(enum paper paper);

/**
 * An ink on a paper, laid on `density` times as thickly as a good print.
 */
struct spectrum ink_reflectance(int ink, const struct spectrum *paper, double density);

#endif
