#ifndef WOAD_MEASUREMENT_WORDS_H
#define WOAD_MEASUREMENT_WORDS_H

#include "measurement/measurement.h"

/* The words for what was found, the same in every output and in the inventory. */

/** "ink", "empty" or "unreadable". */
const char *words_of_found(enum cell_found found);

/** The meaning of words_of_found's words; anything else is unreadable. */
enum cell_found words_to_found(const char *word);

/** The raised flags, joined by ';' ("glare;small"); empty for none. */
#define WORDS_FLAGS_SIZE 64
void words_of_flags(unsigned flags, char text[WORDS_FLAGS_SIZE]);

/** The meaning of words_of_flags's words; false, with `flags` as far as read, for any other. */
bool words_to_flags(const char *text, unsigned *flags);

#endif
