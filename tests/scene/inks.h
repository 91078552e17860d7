#ifndef SCENE_INKS_H
#define SCENE_INKS_H

#include "spectrum.h"

/*
 * The ink range of the Thistlewick Allotment Society, which stamps its seed
 * packets with inks of its own. Everything here is invented.
 */

enum paper { PAPER_WHITE, PAPER_CREAM, PAPER_GREY, PAPERS };

/** How many inks the range has; they stand in colour order, greys last. */
int inks_count(void);

const char *ink_name(int ink);

struct spectrum paper_reflectance(enum paper paper);

/**
 * An ink on a paper, laid on `density` times as thickly as a good print.
 */
struct spectrum ink_reflectance(int ink, const struct spectrum *paper, double density);

#endif
