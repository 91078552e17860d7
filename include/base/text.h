#ifndef WOAD_BASE_TEXT_H
#define WOAD_BASE_TEXT_H

#include "base/error.h"

#include <stddef.h>

/*
 * A growing string. `bytes` is always zero-terminated, or NULL while nothing
 * has been added; a zeroed struct is an empty text.
 */
struct text {
    char *bytes;
    size_t length;
    size_t capacity;
};

/**
 * Append formatted text.
 *
 * Returns: STATUS_OK; STATUS_MEMORY, and then `text` stands as it was.
 */
MUST_USE enum status text_add(struct text *text, struct error *error, const char *format, ...)
    PRINTF_LIKE(3, 4);

/** Free what `text` holds and leave it empty. */
void text_release(struct text *text);

/**
 * Duplicate a string.
 *
 * Owns:    the caller frees the copy.
 * Returns: the copy; NULL with STATUS_MEMORY in `error`.
 */
MUST_USE char *text_copy(const char *string, struct error *error);

/** A number rounded to so many decimals, to be printed; never "-0". */
double text_rounded(double number, int decimals);

#endif
