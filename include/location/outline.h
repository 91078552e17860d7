#ifndef WOAD_LOCATION_OUTLINE_H
#define WOAD_LOCATION_OUTLINE_H

#include "files/photo.h"
#include "values/geometry.h"

#include <stdbool.h>

/**
 * Move an outline's sides onto the edges seen in the photo.
 *
 * Each side is crossed by scans from the inside outwards; the first strong
 * edge of each makes a line, robustly, and the lines meet in the corners.
 *
 * Shape:   `outline` a guess within about a tenth of its side, clockwise.
 * Units:   `unlike_max`, of the side: how unlike its sides may move. A region
 *          shows its cell a little too small on every side alike, so one side
 *          that moves otherwise lies on another edge, as of a drawn outline;
 *          a guess from elsewhere may be off to one side.
 * Returns: false, with `outline` as it was, where the edges do not make a
 *          plausible outline (blank cell, blot, edge hidden).
 */
#define OUTLINE_ALIKE 0.02
#define OUTLINE_SHIFTED 0.06
bool outline_refine(const struct photo *photo, double unlike_max, struct quad *outline);

#endif
