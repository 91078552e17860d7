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
 * Returns: false, with `outline` as it was, where the edges do not make a
 *          plausible outline (blank cell, blot, edge hidden).
 */
bool outline_refine(const struct photo *photo, struct quad *outline);

#endif
