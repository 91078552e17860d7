#ifndef WOAD_BASE_MEMORY_H
#define WOAD_BASE_MEMORY_H

#include "base/error.h"

#include <stddef.h>

/* How many items an array has; not for a pointer to one. */
#define COUNT(array) ((int)(sizeof(array) / sizeof *(array)))

/**
 * Allocate a zeroed array.
 *
 * Units:   `count` items of `size` bytes; `what` names them in the message.
 * Owns:    the caller frees the array with free().
 * Returns: the array; NULL with STATUS_MEMORY in `error`.
 */
MUST_USE void *memory_array(size_t count, size_t size, const char *what, struct error *error);

/**
 * Grow an array to hold at least one more item, doubling its capacity.
 *
 * Shape:   `array` is NULL or came from memory_array or this function; items
 *          past `*capacity` are not zeroed.
 * Returns: the array, perhaps moved; NULL with STATUS_MEMORY in `error`, and
 *          then the old array still stands and is still the caller's.
 */
MUST_USE void *memory_grow(void *array, size_t *capacity, size_t size, const char *what,
                           struct error *error);

#endif
