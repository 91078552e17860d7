#ifndef SCENE_CARD_COLOURS_H
#define SCENE_CARD_COLOURS_H

#include "spectrum.h"

enum { PATCHES = 24, PATCH_COLUMNS = 6, PATCH_ROWS = 4 };

enum edition { EDITION_2005, EDITION_2014 };

/** The label of an edition in truth files. */
const char *edition_label(enum edition edition);

const char *patch_name(int patch);
const double *patch_lab(enum edition edition, int patch);

/** A plausible reflectance of a patch that integrates exactly to its Lab. */
struct spectrum patch_reflectance(const struct observer *observer, enum edition edition, int patch);

/**
 * The same patch on a card that light has faded, or on a glossy print of one.
 *
 * Shape:   `print` of enum card_print; `wear` 0 none to 1 bad.
 */
struct spectrum card_worn(const struct spectrum *good, int patch, int print, double wear);

#endif
