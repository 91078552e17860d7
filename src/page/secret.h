#ifndef WOAD_PAGE_SECRET_H
#define WOAD_PAGE_SECRET_H

#include "base/error.h"

#include <stdbool.h>
#include <stddef.h>

#define SECRET_SIZE 33 /* 128 bits in hexadecimal */

/**
 * Fill a text of `size` bytes with random hexadecimal digits and its end.
 *
 * Returns: STATUS_OK; STATUS_FILE if there is no randomness.
 */
MUST_USE enum status secret_fill(char *text, size_t size, struct error *error);

/** Whether what was given is the secret; the time it takes tells nothing of how much is right. */
bool secret_is(const char *given, const char secret[SECRET_SIZE]);

#endif
