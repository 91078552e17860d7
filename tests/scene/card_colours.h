#ifndef SCENE_CARD_COLOURS_H
#define SCENE_CARD_COLOURS_H

#include "spectrum.h"

enum { PATCHES = 24, PATCHES_MAX = 30 };

/* Two of the usual card, of PATCHES; and an invented card of another shape. */
enum edition { EDITION_2005, EDITION_2014, EDITION_INVENTED };

struct patch_grid {
    int rows, columns;
};

struct patch_grid patch_grid(enum edition edition);
int patch_count(enum edition edition);

/** The label of an edition in truth files. */
const char *edition_label(enum edition edition);

const char *patch_name(enum edition edition, int patch);
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
