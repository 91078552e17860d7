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
 * Source:  the Unicode Character Database, as utf8proc carries it.
 */
int utf8_columns(const char *string);

/**
 * Write a name as it is kept: in the composed form (NFC), each run of white space one space, none
 * at the ends.
 *
 * Returns: false if it does not fit or is no UTF-8; then `tidied` is empty.
 * Source:  Unicode Standard Annex 15.
 */
bool utf8_tidy(const char *string, char *tidied, size_t size);

/** The same in one case: names that are the same are folded alike. Source: Unicode, caseless
 * matching, section 3.13. */
bool utf8_fold(const char *string, char *folded, size_t size);

/** The same in one case and without accents, to see what is near. */
bool utf8_bare(const char *string, char *bare, size_t size);

/** Tell whether two names are the same: case, outer and doubled spaces and how accents are coded
 * aside. */
bool utf8_same(const char *a, const char *b);

#endif
