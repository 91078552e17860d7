#ifndef WOAD_BASE_UTF8_H
#define WOAD_BASE_UTF8_H

#include <stdbool.h>
#include <stdint.h>

/* Text as people write it: UTF-8, strictly decoded. */

/**
 * Decode the character at `*at` and step past it.
 *
 * Returns: the code point; -1 for a malformed byte, and then one byte is stepped over.
 */
int32_t utf8_next(const char **at);

bool utf8_is_valid(const char *string);

/** Tell whether a code point is a control character, which has no place in a name or a table. */
bool utf8_is_control(int32_t code);

/**
 * The columns a string takes on a terminal: none for combining marks, two for
 * wide East Asian characters and pictographs.
 *
 * Source:  Unicode Standard Annex 11, main ranges, from memory.
 */
int utf8_columns(const char *string);

#endif
