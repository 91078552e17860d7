#ifndef WOAD_BASE_UTF8_H
#define WOAD_BASE_UTF8_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

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

/** Tell whether all of a string is text as a name may hold: valid, without control characters and
 * without those that turn the direction of writing, which make one name look like another. */
bool utf8_is_plain(const char *string);

/**
 * Write a string as it may safely be shown: what is not plain in it is spelt out, "\n", "\x1B",
 * "\u202E", so that it can neither steer a terminal nor pass for something else.
 *
 * Shape:   `shown` has `size` bytes; what does not fit is left out, in whole characters.
 */
void utf8_show(const char *string, char *shown, size_t size);

/** Print a string as utf8_show writes it. */
void utf8_put(const char *string, FILE *out);

/**
 * The columns a string takes on a terminal, as utf8_put prints it: none for combining marks, two
 * for wide East Asian characters and pictographs.
 *
 * Source:  Unicode Standard Annex 11, main ranges, from memory.
 */
int utf8_columns(const char *string);

#endif
