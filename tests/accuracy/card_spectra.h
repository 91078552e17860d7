#ifndef WOAD_TESTS_CARD_SPECTRA_H
#define WOAD_TESTS_CARD_SPECTRA_H

#include "files/card.h"
#include "scene/spectrum.h"

/** What a patch of the 24-patch card reflects; its value at 730 nm from there on. */
struct spectrum card_spectrum(int patch);

#endif
